# Writes OUT, a C++ file with the WebAssembly module, packed by gzip, as base64 (MODULE may be empty),
# and the text of the worker that runs it. Literals are cut: compilers bound their length.
set(packed "")
if(MODULE)
    execute_process(COMMAND ${GZIP} -9 -n -c ${MODULE} COMMAND base64 -w 15000
        OUTPUT_VARIABLE packed OUTPUT_STRIP_TRAILING_WHITESPACE RESULTS_VARIABLE states)
    if(NOT states STREQUAL "0;0")
        message(FATAL_ERROR "packing ${MODULE} failed: ${states}")
    endif()
    string(REPLACE "\n" "\"\n        \"" packed "${packed}")
endif()
file(READ ${WORKER} worker)
file(WRITE ${OUT}.new "#include \"cases/report/live/live_module.hpp\"

namespace plenair {

const LiveModule& live_module() {
    static const LiveModule embedded = {
        \"${packed}\",
        R\"~~~(${worker})~~~\"};
    return embedded;
}

}  // namespace plenair
")
file(COPY_FILE ${OUT}.new ${OUT} ONLY_IF_DIFFERENT)
