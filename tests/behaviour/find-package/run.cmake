# Installs the existing build into a scratch prefix, then builds and runs a program that uses it.
set(prefix ${scratch}/prefix)
file(REMOVE_RECURSE ${scratch})

function(run)
    execute_process(COMMAND ${ARGN} COMMAND_ECHO STDOUT COMMAND_ERROR_IS_FATAL ANY)
endfunction()

run(${CMAKE_COMMAND} --install ${build} --prefix ${prefix})
run(${prefix}/bin/plenair --version)
run(${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR} -B ${scratch}/consumer -G ${generator}
    -D CMAKE_PREFIX_PATH=${prefix} -D CMAKE_BUILD_TYPE=Debug "-DCMAKE_CXX_FLAGS=${flags}")
run(${CMAKE_COMMAND} --build ${scratch}/consumer)
run(${scratch}/consumer/consumer ${CMAKE_CURRENT_LIST_DIR}/rig.toml)
run(${scratch}/consumer/shares ${CMAKE_CURRENT_LIST_DIR}/../../../cases/shipped/v6-bank/case.toml)
# What the page shows is what was built.
file(READ ${CMAKE_CURRENT_LIST_DIR}/shares.cpp program)
file(READ ${CMAKE_CURRENT_LIST_DIR}/../../../docs/library.md page)
string(FIND "${page}" "${program}" at)
if(at EQUAL -1)
    message(FATAL_ERROR "docs/library.md does not hold tests/behaviour/find-package/shares.cpp as it is")
endif()
