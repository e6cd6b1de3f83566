# Style sheet and charts of the report, bundled into one script and embedded in the program. Without
# esbuild or the d3 modules the build goes on, and reports have no scripted charts.
option(PLENAIR_CHARTS "Bundle the scripted charts of the report (needs esbuild and d3)" ON)

set(charts_folder ${PROJECT_SOURCE_DIR}/cases/report/charts)
set(charts_source ${PROJECT_BINARY_DIR}/generated/charts.cpp)
set(charts_modules /usr/share/nodejs CACHE PATH "Folder that holds the modules d3-scale, d3-shape, d3-axis, d3-selection")
set(live_folder ${PROJECT_SOURCE_DIR}/cases/report/live)
file(GLOB chart_files CONFIGURE_DEPENDS ${charts_folder}/*.js)
file(GLOB live_files CONFIGURE_DEPENDS ${live_folder}/*.js)
if(PLENAIR_CHARTS)
    find_program(PLENAIR_ESBUILD esbuild)
endif()

set(charts_script "")
set(live_script "")
if(PLENAIR_CHARTS AND PLENAIR_ESBUILD AND EXISTS ${charts_modules}/d3-scale)
    set(charts_script ${PROJECT_BINARY_DIR}/generated/charts.js)
    set(live_script ${PROJECT_BINARY_DIR}/generated/live.js)
    set(bundle ${CMAKE_COMMAND} -E env NODE_PATH=${charts_modules} ${PLENAIR_ESBUILD} --bundle --minify
        --format=iife --target=es2019 --charset=ascii --legal-comments=none
        --log-level=warning)
    add_custom_command(OUTPUT ${charts_script}
        COMMAND ${bundle} ${charts_folder}/main.js --outfile=${charts_script}
        DEPENDS ${chart_files}
        COMMENT "Bundling the charts of the report")
    add_custom_command(OUTPUT ${live_script}
        COMMAND ${bundle} ${live_folder}/main.js --outfile=${live_script}
        DEPENDS ${chart_files} ${live_files}
        COMMENT "Bundling the working model of the report")
else()
    message(STATUS "plenair: no esbuild or no d3 modules: reports will have static charts only")
endif()

add_custom_command(OUTPUT ${charts_source}
    COMMAND ${CMAKE_COMMAND} -D STYLE=${charts_folder}/report.css -D SLOT_TABLES=${charts_folder}/slot_tables.css -D SCRIPT=${charts_script}
        -D LIVE_SCRIPT=${live_script}
        -D LICENCE=${charts_folder}/LICENCE-d3.txt -D OUT=${charts_source}
        -P ${PROJECT_SOURCE_DIR}/scripts/cmake/embed.cmake
    DEPENDS ${charts_folder}/report.css ${charts_folder}/slot_tables.css ${charts_folder}/LICENCE-d3.txt ${charts_script} ${live_script}
        ${PROJECT_SOURCE_DIR}/scripts/cmake/embed.cmake
    COMMENT "Embedding the charts of the report")
target_sources(plenair_cases PRIVATE ${charts_source})
