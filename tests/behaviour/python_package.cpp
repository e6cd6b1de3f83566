// The Python package gives what the command line gives.

#include "tests/support/python.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <string>

#include <doctest/doctest.h>

TEST_CASE("python: solve, bench, sweep and check say what the command line says") {
    if (!has_python_module("xarray") || !has_python_module("h5py")) {
        return;
    }
    const std::string root = PLENAIR_SOURCE_DIR;
    const auto outcome = run_process("/usr/bin/env",
                                     {std::string("PLENAIR=") + PLENAIR_EXECUTABLE,
                                      "PYTHONPATH=" + root + "/cases/python",
                                      "PYTHONDONTWRITEBYTECODE=1",
                                      system_python,
                                      root + "/tests/behaviour/python/use_package.py",
                                      root});
    CHECK(outcome.err == "");
    CHECK(outcome.status == 0);
    CHECK(has(outcome.out, "all as on the command line"));
}
