#pragma once

#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <string>

namespace plenair::test {

/// Whether a page of the documents is what a table in the program says; with PLENAIR_WRITE_PAGES
/// set it is written first (scripts/manual).
/// @param name  "docs/case-file.md"
inline void check_document(const std::string& name, const std::string& text) {
    const std::string path = std::string(PLENAIR_SOURCE_DIR) + "/" + name;
    if (std::getenv("PLENAIR_WRITE_PAGES") != nullptr) {
        std::ofstream(path) << text;
    }
    CHECK(read_text(path) == text);
}

}  // namespace plenair::test
