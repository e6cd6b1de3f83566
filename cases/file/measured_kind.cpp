#include "cases/file/measured_kind.hpp"

#include "cases/file/toml.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace plenair::file {
namespace {

constexpr std::array<std::string_view, 6> parts{
    "throttle", "pre_chamber", "slot", "plenum", "runner", "bank"};

bool has_part(const toml::table& table) {
    return std::any_of(
        parts.begin(), parts.end(), [&](const auto name) { return table.contains(name); });
}

bool has_reading(const toml::table& table) {
    constexpr std::array<std::string_view, 5> lists{"gauge", "bench", "injectors", "engine", "log"};
    // [bench] and [engine] of a case are no lists.
    return std::any_of(lists.begin(), lists.end(), [&](const auto name) {
        const auto* node = table.get(name);
        const bool shared = name == "bench" || name == "engine";
        return node != nullptr && (!shared || node->is_array());
    });
}

}  // namespace

bool is_measured_file(const toml::table& table) {
    return !has_part(table) && (table.contains("measured") || has_reading(table));
}

bool is_case_file(const toml::table& table) {
    return has_part(table) && !table.contains("measured") && !has_reading(table);
}

}  // namespace plenair::file
