#pragma once

#include "tests/support/run_process.hpp"

#include <string>

namespace plenair::test {

/// The shipped four with a [sweep], on a coarse grid and stopped early where tests need no
/// accuracy.
inline std::string sweep_case(const std::string& sweep, bool quick = true) {
    std::string text =
        read_text(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml");
    if (quick) {
        text = text.substr(0, text.find("[[point]]")) + R"([[point]]
name = "top"
speed = "8600 rpm"
pressure = "250 kPa abs"
temperature = "322 K"
exhaust_pressure = "270 kPa abs"
)";
    }
    text += "[model]\ncells = \"largest cell 100 mm\"\ntolerance = 1e-3\n";
    return text + "[sweep]\n" + sweep;
}

}  // namespace plenair::test
