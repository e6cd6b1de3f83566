# A build in less time, for whoever wants the program and will not touch its code. Most of a file's
# compile time goes into headers of the libraries, so the files of one subject compile one after the
# other in one go; where no air flows nothing is gained by -O3; and the compiler collects its garbage
# later. The loops that march stay alone at -O3. Same bits either way.
option(PLENAIR_QUICK "Compile files of one subject together, cases/ with less optimisation" OFF)
set(PLENAIR_QUICK_LEVEL "-O1" CACHE STRING "Optimisation where no air flows, in a quick build")
if(PLENAIR_QUICK AND CMAKE_CXX_COMPILER_ID STREQUAL GNU)
    # 0.1 to 0.2 GB more for each job; by itself the compiler begins at 0.13 GB, and sooner on small machines.
    set(quick_memory --param=ggc-min-expand=200 --param=ggc-min-heapsize=300000)
endif()

# The first pattern that matches a file names its group; one that none matches is alone. Alone stay
# the loops that march: they get the compiler's whole attention.
set(quick_groups
    "geometry/"
    "solver/(march/(anderson|passive_transport|steady|share_error)|ensemble/warm_start)"
    "solver/march/(bench|rig_flows|rig_march|transient|response|cost|failure|not_an_engine|coarse_start|cycle_map|cycle_summary|report_cycle|periodic_iteration)"
    "solver/network/(network|builder|cells|initial_state|scratch|passage_damping|step_rate|numbers)"
    "solver/ensemble/(ensemble|job|lane_group)"
    "cases/base/(sobol|statistics)"
    "cases/base/"
    "cases/file/(keys|key|scope|manual|schema)"
    "cases/file/(build|check)"
    "cases/file/(sweep|vary|choose|tolerance|free)"
    "cases/file/parser_library"
    "cases/file/start"
    "cases/file/"
    "cases/study/(trim|injection|nitrous|machining|lid)"
    "cases/study/(choose|tolerance|sobol|worst|drawn|chosen)"
    "cases/study/least"
    "cases/study/(fit|learned|measured)"
    "cases/study/(derived|check|causes|compare|difference|verdict|find|bench)"
    "cases/study/"
    "cases/store/"
    "cases/report/(html|markup)/"
    "cases/report/csv/trim"
    "cases/report/(json|csv|terminal|words)/"
    "cases/report/svg/losses"
    "cases/report/svg/curve"
    "cases/report/(drawing|dxf|study|svg|sheet)/"
    "cases/live/"
    "cases/command/(bench|check|compare|draw|gather|trim|main)"
    "cases/command/"
    "tests/support/(choked|reference|remedy|run)"
    "tests/support/(pulse|random|spoil|tube)")

# plenair_group(SOURCE VARIABLE): the name of the source's group, empty where it is alone.
function(plenair_group source variable)
    set(${variable} "" PARENT_SCOPE)
    foreach(pattern IN LISTS quick_groups)
        if(source MATCHES "^${PROJECT_SOURCE_DIR}/${pattern}[^/]*\\.cpp$")
            string(REGEX REPLACE "[^a-z]+" "_" group "${pattern}")
            set(${variable} ${group} PARENT_SCOPE)
            break()
        endif()
    endforeach()
endfunction()

# plenair_precompile(TARGET): headers of libraries parsed once, which only clang gains by. Not in solver/,
# whose files have instruction sets of their own.
function(plenair_precompile target)
    if(NOT PLENAIR_QUICK_LEVEL STREQUAL "-O0" OR NOT CMAKE_CXX_COMPILER_ID STREQUAL Clang OR
       target STREQUAL plenair_solver)
        return()
    endif()
    target_precompile_headers(${target} PRIVATE <algorithm> <array> <cmath> <functional> <map> <memory>
        <optional> <span> <string> <string_view> <utility> <variant> <vector>)
    if(target STREQUAL plenair_cases)
        target_precompile_headers(${target} PRIVATE <Eigen/Dense> <fmt/format.h> <nlohmann/json.hpp>)
    endif()
endfunction()

# plenair_quick(TARGET [OPTION...]): the target's files in groups, compiled with these options too.
function(plenair_quick target)
    if(NOT PLENAIR_QUICK)
        return()
    endif()
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_MODE GROUP)
    plenair_precompile(${target})
    target_compile_options(${target} PRIVATE ${quick_memory} ${ARGN})
    get_target_property(sources ${target} SOURCES)
    foreach(source IN LISTS sources)
        cmake_path(ABSOLUTE_PATH source)
        plenair_group(${source} group)
        if(group)
            set_source_files_properties(${source} PROPERTIES UNITY_GROUP ${group})
        endif()
    endforeach()
endfunction()
