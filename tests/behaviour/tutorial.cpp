// The pages with commands say what plenair says: every command of theirs is run, from their own
// text.

#include "tests/support/python.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <filesystem>
#include <string>

#include <doctest/doctest.h>

namespace {

void check_page(const std::string& page) {
    const std::string root = PLENAIR_SOURCE_DIR;
    const auto outcome = run_process("/usr/bin/env",
                                     {std::string("PLENAIR=") + PLENAIR_EXECUTABLE,
                                      "PYTHONDONTWRITEBYTECODE=1",
                                      system_python,
                                      root + "/scripts/tutorial",
                                      "--check",
                                      root + "/docs/" + page});
    CAPTURE(outcome.out);
    CHECK(outcome.err == "");
    CHECK(outcome.status == 0);
}

}  // namespace

TEST_CASE("tutorial: from start to the machined slot, as the page says") {
    check_page("tutorial.md");
}

TEST_CASE("other tools: spreadsheets, Python and R, as the page says") {
    if (!std::filesystem::exists("/usr/bin/Rscript")) {
        MESSAGE("SKIPPED: R is not installed; run scripts/setup.sh test");
        return;
    }
    if (has_python_module("xarray") && has_python_module("h5py")) {
        check_page("other-tools.md");
    }
}
