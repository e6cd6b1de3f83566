# Run by cpack on the installed files of each component, before they are packed: what Debian asks of a
# package, and the same bytes for the same commit.
include(${CPACK_PLENAIR_SOURCE_DIR}/scripts/cmake/package_time.cmake)

function(run)
    execute_process(COMMAND ${ARGN} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(GLOB component_dirs LIST_DIRECTORIES ON ${CPACK_TEMPORARY_DIRECTORY}/*)
foreach(root IN LISTS component_dirs)
    set(share ${root}/usr/share)
    if(EXISTS ${root}/usr/bin/plenair)
        set(package plenair)
    elseif(EXISTS ${root}/usr/include/plenair)
        set(package plenair-dev)
    else()
        continue()
    endif()
    set(docs ${share}/doc/${package})
    file(COPY_FILE ${CPACK_PLENAIR_SOURCE_DIR}/LICENSE ${root}/LICENSE)
    file(MAKE_DIRECTORY ${docs})
    file(RENAME ${root}/LICENSE ${docs}/copyright)
    string(TIMESTAMP today "%a, %d %b %Y %H:%M:%S +0000" UTC)
    file(WRITE ${docs}/changelog.new "${package} (${CPACK_PACKAGE_VERSION}) stable; urgency=medium\n\n"
        "  * See changelog/${CPACK_PACKAGE_VERSION}.md beside this file.\n\n"
        " -- ${CPACK_PACKAGE_CONTACT}  ${today}\n")
    file(GLOB packed ${docs}/changelog.new ${share}/man/man1/*.1)
    foreach(file IN LISTS packed)
        run(gzip -9nf ${file})
    endforeach()
    file(RENAME ${docs}/changelog.new.gz ${docs}/changelog.gz)
    run(find ${root} -exec touch --no-dereference --date=@$ENV{SOURCE_DATE_EPOCH} {} +)
    run(chmod -R u=rwX,go=rX ${root})
endforeach()
