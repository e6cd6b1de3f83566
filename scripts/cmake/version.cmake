# Writes version.cpp with the version and the commit it was built from ("unknown" outside a checkout).
execute_process(COMMAND git -C ${source} rev-parse --short=12 HEAD
    OUTPUT_VARIABLE sha OUTPUT_STRIP_TRAILING_WHITESPACE RESULT_VARIABLE failed ERROR_QUIET)
if(failed)
    set(sha unknown)
else()
    execute_process(COMMAND git -C ${source} status --porcelain --untracked-files=no
        OUTPUT_VARIABLE changed ERROR_QUIET)
    if(changed)
        string(APPEND sha "-changed")
    endif()
endif()
configure_file(${CMAKE_CURRENT_LIST_DIR}/version.cpp.in ${out} @ONLY)
