#pragma once

#include "tests/support/run_process.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <string>
#include <vector>

/// Sets of fonts that a machine may have and no other: a wide one and a narrow one.
namespace plenair::test {

struct FontSet {
    std::string name;
    std::string folder;  ///< of its files, as Debian installs them
    std::string fixed;  ///< its family of fixed pitch
};

inline const std::vector<FontSet>& font_sets() {
    static const std::vector<FontSet> sets{
        {"DejaVu", "/usr/share/fonts/truetype/dejavu", "DejaVu Sans Mono"},
        {"Liberation", "/usr/share/fonts/truetype/liberation", "Liberation Mono"}};
    return sets;
}

inline bool is_installed(const FontSet& set) {
    return std::filesystem::exists(set.folder);
}

/// Settings of fontconfig with which a program finds this set alone.
/// @returns the assignment for `env`: "FONTCONFIG_FILE=..."
inline std::string only_fonts(const FontSet& set, const ScratchFolder& scratch) {
    const auto file = scratch.write(
        set.name + ".conf",
        fmt::format("<?xml version=\"1.0\"?>\n<!DOCTYPE fontconfig SYSTEM \"fonts.dtd\">\n"
                    "<fontconfig><dir>{}</dir><cachedir>{}</cachedir></fontconfig>\n",
                    set.folder,
                    scratch.path(set.name + "-cache")));
    return "FONTCONFIG_FILE=" + file;
}

}  // namespace plenair::test
