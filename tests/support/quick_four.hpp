#pragma once

#include "tests/support/run_process.hpp"

#include <string>

namespace plenair::test {

/// The shipped four on a coarse grid and stopped early, where tests need no accuracy, with other
/// points.
inline std::string quick_four(const std::string& points, double tolerance = 1e-3) {
    const std::string text =
        read_text(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml");
    return text.substr(0, text.find("[[point]]")) + points +
           "\n[model]\ncells = \"largest cell 100 mm\"\ntolerance = " + std::to_string(tolerance) +
           "\n";
}

inline const char* const two_points = R"([[point]]
name = "mid"
speed = "7000 rpm"
pressure = "255 kPa abs"
temperature = "318 K"
exhaust_pressure = "262 kPa abs"
[[point]]
name = "top"
speed = "8600 rpm"
pressure = "250 kPa abs"
temperature = "322 K"
exhaust_pressure = "270 kPa abs"
)";

}  // namespace plenair::test
