# The model for the page of a report: the same sources, compiled to WebAssembly by the compiler of
# Debian's emscripten (docs/decisions/browser-model.md), packed and embedded in the program. Without
# that compiler the build goes on, and reports have no working model.
option(PLENAIR_LIVE "Compile the model for the report's page too (needs emscripten)" ON)

set(browser_module "")
set(browser_source ${PROJECT_BINARY_DIR}/generated/live_module.cpp)
set(browser_worker ${PROJECT_SOURCE_DIR}/cases/browser/worker.js)
if(PLENAIR_LIVE)
    find_program(PLENAIR_EMXX em++)
    find_program(PLENAIR_EMAR emar)
    find_program(PLENAIR_BROWSER_CXX NAMES clang++-14)  # what em++ 3.1.6 calls
    find_program(PLENAIR_GZIP gzip)
    find_path(PLENAIR_BROWSER_SYSROOT include/c++/v1/vector NO_CMAKE_FIND_ROOT_PATH NO_DEFAULT_PATH
        PATHS /usr/share/emscripten/cache/sysroot)
endif()

# Compiles one source to an object; the compiler itself, not em++, so that ccache knows it.
function(plenair_browser_object source level objects)
    file(RELATIVE_PATH path ${PROJECT_SOURCE_DIR} ${source})
    string(REGEX REPLACE "^(\\.\\./)+|^build/.*/generated/|^.*/browser/groups/" "" path ${path})
    set(object ${browser_folder}/${path}.o)
    cmake_path(GET object PARENT_PATH folder)
    file(MAKE_DIRECTORY ${folder})
    add_custom_command(OUTPUT ${object}
        COMMAND ${CMAKE_CXX_COMPILER_LAUNCHER} ${PLENAIR_BROWSER_CXX} ${browser_flags} -O${level}
            -MMD -MF ${object}.d -c ${source} -o ${object}
        DEPENDS ${source} ${browser_library}
        DEPFILE ${object}.d
        COMMENT "Compiling ${path} for the page")
    set(${objects} ${${objects}} ${object} PARENT_SCOPE)
endfunction()

# The same for several: those of one group (quick.cmake) go through the compiler as one, which parses
# the library's headers once for them.
function(plenair_browser_objects level objects)
    set(made ${${objects}})
    set(groups "")
    foreach(source IN LISTS ARGN)
        plenair_group(${source} group)
        if(group)
            list(APPEND groups ${group})
            string(APPEND text_of_${group} "#include \"${source}\"\n")
        else()
            plenair_browser_object(${source} ${level} made)
        endif()
    endforeach()
    list(REMOVE_DUPLICATES groups)
    foreach(group IN LISTS groups)
        set(file ${browser_folder}/groups/${group}.cpp)
        file(CONFIGURE OUTPUT ${file} CONTENT "${text_of_${group}}" @ONLY)
        plenair_browser_object(${file} ${level} made)
    endforeach()
    set(${objects} ${made} PARENT_SCOPE)
endfunction()

if(PLENAIR_LIVE AND PLENAIR_EMXX AND PLENAIR_EMAR AND PLENAIR_BROWSER_CXX AND PLENAIR_GZIP
        AND PLENAIR_BROWSER_SYSROOT)
    set(browser_folder ${PROJECT_BINARY_DIR}/browser)
    set(browser_library ${PROJECT_SOURCE_DIR}/cases/browser/library.hpp)
    # Header libraries alone: the system's own include folder would bring its C library along.
    get_target_property(eigen_folder Eigen3::Eigen INTERFACE_INCLUDE_DIRECTORIES)
    get_target_property(boost_folder Boost::headers INTERFACE_INCLUDE_DIRECTORIES)
    get_target_property(fmt_folder fmt::fmt INTERFACE_INCLUDE_DIRECTORIES)
    get_target_property(json_folder nlohmann_json::nlohmann_json INTERFACE_INCLUDE_DIRECTORIES)
    file(MAKE_DIRECTORY ${browser_folder}/include)
    foreach(link ${eigen_folder}/Eigen ${boost_folder}/boost ${fmt_folder}/fmt
            ${json_folder}/nlohmann ${TOMLPLUSPLUS_INCLUDE_DIR}/toml++)
        cmake_path(GET link FILENAME name)
        file(CREATE_LINK ${link} ${browser_folder}/include/${name} SYMBOLIC)
    endforeach()
    # The first three lines are what em++ itself gives. Exceptions and vectors of 128 bits are
    # WebAssembly's own. Bits: no contraction, as everywhere.
    set(browser_flags -target wasm32-unknown-emscripten --sysroot=${PLENAIR_BROWSER_SYSROOT}
        -D__EMSCRIPTEN_major__=3 -D__EMSCRIPTEN_minor__=1 -D__EMSCRIPTEN_tiny__=6
        -D_LIBCPP_ABI_VERSION=2 -mllvm -combiner-global-alias-analysis=false -mllvm -disable-lsr
        -fno-threadsafe-statics -isystem ${PLENAIR_BROWSER_SYSROOT}/include/compat
        -fwasm-exceptions -msimd128 -std=c++20 -ffp-contract=off -fno-math-errno
        -DNDEBUG -DEIGEN_DONT_VECTORIZE -include ${browser_library}
        -I${PROJECT_SOURCE_DIR} -isystem ${browser_folder}/include)

    # Fast where the air flows, small elsewhere: a page carries the module.
    file(GLOB_RECURSE browser_inner CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/solver/*.cpp)
    file(GLOB browser_outer CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/geometry/*.cpp
        ${PROJECT_SOURCE_DIR}/cases/base/*.cpp ${PROJECT_SOURCE_DIR}/cases/file/*.cpp
        ${PROJECT_SOURCE_DIR}/cases/study/*.cpp ${PROJECT_SOURCE_DIR}/cases/report/*/*.cpp
        ${PROJECT_SOURCE_DIR}/cases/live/*.cpp ${PROJECT_SOURCE_DIR}/cases/browser/*.cpp)
    # No part of an answer: threads, sweeps, comparisons, benches, readings, pages and other forms of output.
    # One left in by mistake costs size, one left out by mistake a symbol at the link.
    list(FILTER browser_inner EXCLUDE REGEX "march/(bench|steady|rig_flows|rig_march|transient|response)\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX "base/parallel\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX "study/(sweep|sweep_blocks|sweep_tally|block|compare.*|difference|choose.*|tolerance.*|fit.*|overview|part_verdict|least_squares|sobol_indices|assumption|bench.*|lid_force|measured|no_file|taps|unsteady)\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX "file/(manual|schema|vary|sweep|sweep_sample|choose|tolerance|start.*|blank_measured|build_(bench_readings|engine_readings|gauges|logs)|csv_rows|fitted_case|free_numbers|plans|read_measured|unsteady)\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX "live/(controls|page)\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX
        "report/((csv|dxf|terminal|study)/|json/(bench|check|compare|difference|fit|trim)|html/(page|frame|data|reasons|learned|machinist|overview|air|bench|cautions|comparison|drawing|figures|limits)|svg/readings).*\\.cpp$")
    list(FILTER browser_outer EXCLUDE REGEX "report/sheet/(sheet|stations)\\.cpp$")
    set(browser_objects "")
    plenair_browser_objects(3 browser_objects ${browser_inner})
    plenair_browser_objects(z browser_objects ${browser_outer} ${version_source})

    # From an archive the linker takes only what an answer needs.
    set(browser_module ${browser_folder}/model.wasm)
    set(browser_archive ${browser_folder}/model.a)
    set(browser_entrance ${browser_folder}/cases/browser/module.cpp.o)
    add_custom_command(OUTPUT ${browser_archive}
        COMMAND ${CMAKE_COMMAND} -E rm -f ${browser_archive}
        COMMAND ${PLENAIR_EMAR} qcs ${browser_archive} ${browser_objects}
        DEPENDS ${browser_objects}
        COMMENT "Collecting the model for the page")
    # -O1: code as compiled; the slower rewriting of higher levels gains nothing.
    add_custom_command(OUTPUT ${browser_module}
        COMMAND ${PLENAIR_EMXX} -O1 -fwasm-exceptions -msimd128 ${browser_entrance}
            ${browser_archive} -o ${browser_module} --no-entry -sTOTAL_STACK=2MB -sINITIAL_MEMORY=16MB
            -sALLOW_MEMORY_GROWTH=1 -sMAXIMUM_MEMORY=512MB -sFILESYSTEM=0
        DEPENDS ${browser_archive}
        COMMENT "Linking the model for the page")
    add_custom_target(plenair_browser DEPENDS ${browser_module})
    add_dependencies(plenair_browser plenair_version)
else()
    message(STATUS "plenair: no compiler for the browser (emscripten): reports without working model")
endif()

add_custom_command(OUTPUT ${browser_source}
    COMMAND ${CMAKE_COMMAND} -D MODULE=${browser_module} -D WORKER=${browser_worker}
        -D GZIP=${PLENAIR_GZIP} -D OUT=${browser_source}
        -P ${PROJECT_SOURCE_DIR}/scripts/cmake/embed_module.cmake
    DEPENDS ${browser_module} ${browser_worker} ${PROJECT_SOURCE_DIR}/scripts/cmake/embed_module.cmake
    COMMENT "Embedding the model for the page")
target_sources(plenair_cases PRIVATE ${browser_source})
