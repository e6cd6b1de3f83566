#include "cases/live/fragments.hpp"

#include <array>

#include "cases/file/slot_shop.hpp"
#include "cases/report/html/live.hpp"

namespace plenair {

namespace {

struct Part {
    const char* name;
    std::string (*draw)(const Case& c, const SolveResult& result);
};

constexpr std::array<Part, 8> table = {{
    {"figures", html::live_figures},
    {"bias", html::live_bias},
    {"losses", html::live_losses},
    {"row", html::live_row},
    {"watch", html::live_watch},
    {"trims", html::live_trims},
    {"machining",
     [](const Case& c, const SolveResult&) { return html::live_machining(c, slot_shops(c)); }},
    {"drawing",
     [](const Case& c, const SolveResult&) { return html::live_drawing(c, slot_shops(c)); }},
}};

}  // namespace

const std::vector<std::string>& live_parts() {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const auto& part : table) list.emplace_back(part.name);
        return list;
    }();
    return names;
}

std::string live_fragment(std::string_view part, const Case& c, const SolveResult& result) {
    if (result.points.size() != 1 || !result.points.front().converged) return "";
    for (const auto& each : table) {
        if (part == each.name) return each.draw(c, result);
    }
    return "";
}

}  // namespace plenair
