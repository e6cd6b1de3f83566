# One library per floor of the house; each sees only the floors below it.
include(${PROJECT_SOURCE_DIR}/scripts/cmake/quick.cmake)

# No contraction of a*b+c: results must not depend on the processor's fused instructions.
# No -Wrestrict: gcc 12 reports it falsely where text is added to a std::string (GCC bug 105651).
# solver/ reads nothing from outside and gets no check that would cost its loops time: its code is the
# same with and without. What links it gets addresses that nobody knows beforehand.
function(plenair_harden target)
    if(NOT target STREQUAL plenair_solver)
        target_compile_options(${target} PRIVATE $<$<CONFIG:Release>:-U_FORTIFY_SOURCE
            -D_FORTIFY_SOURCE=3 -fstack-protector-strong -fstack-clash-protection>
            -D_GLIBCXX_ASSERTIONS)
    endif()
    get_target_property(kind ${target} TYPE)
    if(kind STREQUAL EXECUTABLE)
        target_compile_options(${target} PRIVATE -fPIE)
        target_link_options(${target} PRIVATE -pie -Wl,-z,relro,-z,now,-z,noexecstack)
    endif()
endfunction()

function(plenair_compile_flags target)
    set(warnings -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wno-restrict)
    if(PLENAIR_QUICK)  # which would warn of names that are alone in their files
        set(warnings -w)
    endif()
    target_compile_options(${target} PRIVATE ${warnings} -ffp-contract=off
        $<$<CONFIG:Release>:-O3>)
    if(PLENAIR_WERROR)
        target_compile_options(${target} PRIVATE -Werror)
    endif()
    if(PLENAIR_HARDEN AND NOT PLENAIR_SANITIZE)
        plenair_harden(${target})
    endif()
    # solver/ reads nothing from outside: the fuzzing programs link it plain, in half the time.
    if(PLENAIR_SANITIZE AND NOT (PLENAIR_FUZZ AND target STREQUAL plenair_solver))
        target_compile_options(${target} PRIVATE -fsanitize=address,undefined
            -fno-sanitize-recover=all -fno-omit-frame-pointer
            # Comparisons are not traced: that cost a third of the time, and the dictionary has the words.
            $<$<BOOL:${PLENAIR_FUZZ}>:-fsanitize=fuzzer-no-link$<SEMICOLON>-fno-sanitize-coverage=trace-cmp>)
    endif()
    if(PLENAIR_SANITIZE)
        target_link_options(${target} PUBLIC -fsanitize=address,undefined)
    endif()
endfunction()

function(plenair_library name)
    list(TRANSFORM ARGN PREPEND ${PROJECT_SOURCE_DIR}/)
    file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${ARGN})
    if(NOT sources)
        set(sources ${PROJECT_BINARY_DIR}/generated/${name}.cpp)
        file(WRITE ${sources} "")
    endif()
    add_library(plenair_${name} STATIC ${sources})
    add_library(plenair::${name} ALIAS plenair_${name})
    set_target_properties(plenair_${name} PROPERTIES EXPORT_NAME ${name} LINKER_LANGUAGE CXX
        POSITION_INDEPENDENT_CODE ON)
    target_compile_features(plenair_${name} PUBLIC cxx_std_20)
    target_include_directories(plenair_${name} PUBLIC
        $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}>
        $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}/plenair>)
    plenair_compile_flags(plenair_${name})
endfunction()

plenair_library(geometry geometry/*.cpp)
plenair_quick(plenair_geometry $<$<CONFIG:Release>:${PLENAIR_QUICK_LEVEL}> $<$<BOOL:${PLENAIR_FUZZ}>:-O2>)
if(PLENAIR_CONTRACTS)  # in headers too: whoever links the libraries must see the same
    target_compile_definitions(plenair_geometry PUBLIC PLENAIR_CONTRACTS)
endif()

plenair_library(solver solver/*.cpp)
plenair_quick(plenair_solver)
# Allowed because no code reads errno or floating-point traps; value-changing -ffast-math is not used.
target_compile_options(plenair_solver PRIVATE -fno-math-errno -fno-trapping-math)
# Sums in the order in which they are written, not in one that a vector unit likes.
target_compile_definitions(plenair_solver PUBLIC EIGEN_DONT_VECTORIZE)
target_link_libraries(plenair_solver PUBLIC plenair_geometry Eigen3::Eigen Boost::headers)
# The same loops once per instruction set, chosen when the program starts. Elsewhere, and without
# PLENAIR_WIDE, these files are empty shells. Loops over cells give every number the bits of a single
# double; lanes of variants fuse where their text says so (solver/arithmetic/product.hpp).
if(CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64" AND PLENAIR_WIDE)
    set(avx2 -mavx2)
    set(avx512 -mavx512f -mavx512dq -mavx512vl -mprefer-vector-width=512)
    set_source_files_properties(${PROJECT_SOURCE_DIR}/solver/network/cell_loops_avx2.cpp
        PROPERTIES COMPILE_OPTIONS "${avx2};-mno-fma")
    set_source_files_properties(${PROJECT_SOURCE_DIR}/solver/network/cell_loops_avx512.cpp
        PROPERTIES COMPILE_OPTIONS "${avx512}")
    foreach(precision double single)
        set_source_files_properties(
            ${PROJECT_SOURCE_DIR}/solver/ensemble/lanes_avx2_${precision}.cpp
            PROPERTIES COMPILE_OPTIONS "${avx2};-mfma")
        set_source_files_properties(
            ${PROJECT_SOURCE_DIR}/solver/ensemble/lanes_avx512_${precision}.cpp
            PROPERTIES COMPILE_OPTIONS "${avx512};-mfma")
    endforeach()
endif()

plenair_library(cases cases/base/*.cpp cases/file/*.cpp cases/study/*.cpp cases/store/*.cpp
    cases/report/*.cpp cases/live/*.cpp)
plenair_quick(plenair_cases $<$<CONFIG:Release>:${PLENAIR_QUICK_LEVEL}>)
# toml++ is used by its headers alone: cases/file/toml.hpp turns its assertions into messages, which
# the distribution's compiled library would not know.
target_include_directories(plenair_cases SYSTEM PRIVATE ${TOMLPLUSPLUS_INCLUDE_DIR})
target_link_libraries(plenair_cases PUBLIC plenair_solver
    PRIVATE fmt::fmt nlohmann_json::nlohmann_json hdf5::hdf5 hdf5::hdf5_hl $<LINK_ONLY:NLopt::nlopt> Threads::Threads)

# The commit is looked up at every build, and only one small file is compiled again when it moves.
set(version_source ${PROJECT_BINARY_DIR}/generated/version.cpp)
add_custom_target(plenair_version BYPRODUCTS ${version_source}
    COMMAND ${CMAKE_COMMAND} -D source=${PROJECT_SOURCE_DIR} -D version=${PROJECT_VERSION}
            -D out=${version_source} -P ${PROJECT_SOURCE_DIR}/scripts/cmake/version.cmake
    COMMENT "Looking up the commit")
add_dependencies(plenair_cases plenair_version)
target_sources(plenair_cases PRIVATE ${version_source})

include(${PROJECT_SOURCE_DIR}/scripts/cmake/charts.cmake)
include(${PROJECT_SOURCE_DIR}/scripts/cmake/browser.cmake)

add_library(plenair_all INTERFACE)
add_library(plenair::plenair ALIAS plenair_all)
set_target_properties(plenair_all PROPERTIES EXPORT_NAME plenair)
target_link_libraries(plenair_all INTERFACE plenair_cases)

file(GLOB command_sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/cases/command/*.cpp)
if(command_sources)
    include(${PROJECT_SOURCE_DIR}/scripts/cmake/shipped.cmake)
    add_executable(plenair ${command_sources} ${shipped_source})
    plenair_compile_flags(plenair)
    plenair_quick(plenair $<$<CONFIG:Release>:${PLENAIR_QUICK_LEVEL}>)
    target_link_libraries(plenair PRIVATE plenair_cases fmt::fmt CLI11::CLI11 Threads::Threads)
endif()
