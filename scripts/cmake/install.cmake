# Two components: program is all that a person needs, development what find_package(plenair) needs,
# which afterwards offers plenair::plenair.
include(CMakePackageConfigHelpers)

set(docs_dir ${CMAKE_INSTALL_DATADIR}/doc/plenair)
if(TARGET plenair)
    install(TARGETS plenair RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)

    # The program itself knows its options.
    set(described ${PROJECT_BINARY_DIR}/generated/described)
    add_custom_command(TARGET plenair POST_BUILD
        COMMAND ${CMAKE_COMMAND} -E make_directory ${described}
        COMMAND plenair --manual-page >${described}/plenair.1
        COMMAND plenair --completion bash >${described}/plenair.bash
        COMMAND plenair --completion zsh >${described}/_plenair
        COMMAND plenair --completion fish >${described}/plenair.fish
        COMMAND plenair check --schema >${described}/case.schema.json
        COMMENT "Writing manual page, completions and schema")
    install(FILES ${described}/plenair.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1
        COMPONENT program)
    install(FILES ${described}/case.schema.json DESTINATION ${CMAKE_INSTALL_DATADIR}/plenair
        COMPONENT program)
    install(FILES ${described}/plenair.bash RENAME plenair COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
    install(FILES ${described}/_plenair COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions)
    install(FILES ${described}/plenair.fish COMPONENT program
        DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
endif()

install(DIRECTORY docs/ DESTINATION ${docs_dir} COMPONENT program FILES_MATCHING PATTERN "*.md"
    PATTERN "*.svg")
install(FILES README.md DESTINATION ${docs_dir} COMPONENT program)
install(DIRECTORY cases/shipped/ DESTINATION ${docs_dir}/examples COMPONENT program)
# Of all that is inside the program, each as its package gives it.
install(FILES LICENSE RENAME copyright DESTINATION ${docs_dir} COMPONENT program)
install(FILES cases/report/charts/LICENCE-d3.txt RENAME d3.txt DESTINATION ${docs_dir}/licences
    COMPONENT program)
foreach(library libeigen3-dev libboost1.74-dev libhdf5-dev libfmt-dev libtomlplusplus-dev
        libcli11-dev nlohmann-json3-dev libnlopt-dev emscripten)
    install(FILES /usr/share/doc/${library}/copyright RENAME ${library}.txt
        DESTINATION ${docs_dir}/licences COMPONENT program OPTIONAL)
endforeach()

# From Python: runs the program, loads its results (docs/decisions/python.md).
install(DIRECTORY cases/python/plenair DESTINATION lib/python3/dist-packages COMPONENT python
    FILES_MATCHING PATTERN "*.py" PATTERN "__pycache__" EXCLUDE)

install(TARGETS plenair_geometry plenair_solver plenair_cases plenair_all EXPORT plenair_targets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY geometry solver cases DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/plenair
    COMPONENT development
    FILES_MATCHING PATTERN "*.hpp" PATTERN "shipped" EXCLUDE PATTERN "command" EXCLUDE
    PATTERN "browser" EXCLUDE PATTERN "charts" EXCLUDE)

set(config_dir ${CMAKE_INSTALL_LIBDIR}/cmake/plenair)
install(EXPORT plenair_targets NAMESPACE plenair:: DESTINATION ${config_dir} COMPONENT development)
configure_package_config_file(${PROJECT_SOURCE_DIR}/scripts/cmake/plenairConfig.cmake.in
    ${PROJECT_BINARY_DIR}/generated/plenairConfig.cmake INSTALL_DESTINATION ${config_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/generated/plenairConfigVersion.cmake
    COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/generated/plenairConfig.cmake
    ${PROJECT_BINARY_DIR}/generated/plenairConfigVersion.cmake DESTINATION ${config_dir}
    COMPONENT development)
