# Read by cpack: the time of what is packed is that of its commit, unless the environment says another.
if(NOT DEFINED ENV{SOURCE_DATE_EPOCH})
    execute_process(COMMAND git -C ${CPACK_PLENAIR_SOURCE_DIR} log -1 --format=%ct HEAD
        OUTPUT_VARIABLE commit_time OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
    if(NOT commit_time)
        set(commit_time 0)
    endif()
    set(ENV{SOURCE_DATE_EPOCH} ${commit_time})
endif()
