#include "cases/live/asked.hpp"

#include "cases/file/read.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::live {

namespace {

constexpr double preview_tolerance = 2e-4;  // shares to about a hundredth of a percent
constexpr double preview_refinement = 0.5;

}  // namespace

Case asked_case(const std::string& text,
                const std::string& name,
                const std::vector<std::string>& set,
                const std::optional<std::string>& point) {
    Case c = parse_case(text, name, set);
    if (!point) {
        return c;
    }
    const auto found = std::find_if(
        c.points.begin(), c.points.end(), [&](const auto& p) { return p.name == *point; });
    if (found == c.points.end()) {
        throw InputError({fmt::format("{}: no point of the name '{}'", name, *point)});
    }
    c.points = {OperatingPoint(*found)};
    c.curves.clear();
    return c;
}

SolveResult preview(Case c, std::vector<double>& state) {
    c.model.refinement = std::min(c.model.refinement, preview_refinement);
    c.model.tolerance = std::max(c.model.tolerance, preview_tolerance);
    SolveOptions options;
    options.threads = 1;
    options.start = &state;
    options.final_state = &state;
    options.refine_curves = false;
    return solve(c, options);
}

SolveResult certified(const Case& c, bool bands) {
    SolveOptions options;
    options.threads = 1;
    options.bands = bands;
    return solve(c, options);
}

}  // namespace plenair::live
