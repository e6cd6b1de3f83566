#pragma once

#include "tests/support/run_process.hpp"

#include <string>
#include <vector>

/// Runs the program that was just built.
[[nodiscard]] inline Outcome run_plenair(const std::vector<std::string>& arguments) {
    return run_process(PLENAIR_EXECUTABLE, arguments);
}
