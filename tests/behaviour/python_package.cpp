// The Python package gives what the command line gives.

#include "tests/support/python.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <string>

#include <doctest/doctest.h>

namespace {

/// Runs a script of tests/behaviour/python on the package; its last words are checked.
void check_script(const std::string& script, const std::string& last_words) {
    const std::string root = PLENAIR_SOURCE_DIR;
    const auto outcome = run_process("/usr/bin/env",
                                     {std::string("PLENAIR=") + PLENAIR_EXECUTABLE,
                                      "PYTHONPATH=" + root + "/cases/python",
                                      "PYTHONDONTWRITEBYTECODE=1",
                                      system_python,
                                      root + "/tests/behaviour/python/" + script,
                                      root});
    CHECK(outcome.err == "");
    CHECK(outcome.status == 0);
    CHECK(has(outcome.out, last_words));
}

}  // namespace

TEST_CASE("python: solve, bench, sweep and check say what the command line says") {
    if (has_python_module("xarray") && has_python_module("h5py")) {
        check_script("use_package.py", "all as on the command line");
    }
}

TEST_CASE("python: figures show the numbers of the dataset") {
    if (has_python_module("xarray") && has_python_module("h5py")) {
        // Without it the script checks what a figure says then, and that it says so.
        const bool drawn = has_python_module("matplotlib");
        check_script("use_figures.py", drawn ? "all as in the dataset" : "figures: SKIPPED");
    }
}
