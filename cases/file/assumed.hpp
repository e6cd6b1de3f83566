#pragma once

#include "cases/file/message.hpp"
#include "cases/file/toml_names.hpp"

#include <string>
#include <vector>

namespace plenair {
struct Case;
}

/// [assumed]: entries of the case that nobody has confirmed, each with its basis and, where it has
/// one, its band.
namespace plenair::file {

struct Scope;

/// One line of [assumed], not yet held against the case.
struct AssumedEntry {
    std::string key;  ///< "engine.rod"
    std::string basis;
    std::string within;  ///< "12 %", "10 deg"; empty: none
    Place place;
};

/// engine.rod = "basis", or engine.rod = { basis = "...", within = "12 %" }; with the key in quotes
/// or without.
[[nodiscard]] std::vector<AssumedEntry> read_assumed(const toml::table& table, Messages& messages);

/// Finds the entries in the case and fills Case::assumed; reports those that are not there.
void build_assumed(const Scope& root, Case& c, Messages& messages);

/// Reports ends of bands that cannot be built.
void check_assumed(const Scope& root, const Case& c, Messages& messages);

}  // namespace plenair::file
