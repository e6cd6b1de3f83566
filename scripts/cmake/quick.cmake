# A build in less time, for whoever wants the program and will not touch its code. Most of a file's
# compile time goes into headers of the libraries, so the files of one subject, one after the other in
# one go, cost a third; and where no air flows nothing is gained by -O3. geometry/ and solver/ stay as
# they are: there each file gets the compiler's whole attention. Same bits either way.
option(PLENAIR_QUICK "Compile files of one subject together, cases/ with less optimisation" OFF)

# The first pattern that matches a file of cases/ names its group; one that none matches is alone.
set(quick_groups
    "file/(keys|key|scope|manual|schema)"
    "file/(build|check)"
    "file/(sweep|vary)"
    "file/"
    "study/(trim|injection|nitrous|machining|lid)"
    "study/(choose|tolerance)"
    "study/"
    "store/(sweep|grid)"
    "store/"
    "report/html"
    "report/csv_trim"
    "report/(json|csv|sweep)"
    "report/(terminal|trim|numbers|caution)"
    "report/(drawing|dxf)"
    "report/svg_losses"
    "report/svg_curve"
    "report/"
    "live/"
    "command/(bench|check|compare|draw|gather|trim|main)"
    "command/")

function(plenair_quick target)
    if(NOT PLENAIR_QUICK)
        return()
    endif()
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_MODE GROUP)
    target_compile_options(${target} PRIVATE $<$<CONFIG:Release>:-O1>)
    get_target_property(sources ${target} SOURCES)
    foreach(source IN LISTS sources)
        foreach(pattern IN LISTS quick_groups)
            if(source MATCHES "/cases/${pattern}[^/]*\\.cpp$")
                string(REGEX REPLACE "[^a-z]+" "_" group "${pattern}")
                set_source_files_properties(${source} PROPERTIES UNITY_GROUP ${group})
                break()
            endif()
        endforeach()
    endforeach()
endfunction()
