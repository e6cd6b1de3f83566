#include "cases/live/page.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cases/live/controls.hpp"
#include "cases/live/fragments.hpp"
#include "cases/report/html/live.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/live/live_module.hpp"
#include "cases/report/markup/markup.hpp"
#include "geometry/quantity.hpp"

namespace plenair {

namespace {

/// Twelve digits, as JSON of results holds them: 205.00000000000003 is 205.
double tidy(double value) {
    return std::stod(fmt::format("{:.12g}", value));
}

Json entries_json(const std::vector<LiveEntry>& entries) {
    Json list = Json::array();
    for (const auto& entry : entries) {
        Json numbers = Json::array();
        for (const auto& number : entry.numbers) {
            numbers.push_back({{"label", number.label},
                               {"value", tidy(number.value)},
                               {"low", tidy(number.low)},
                               {"high", tidy(number.high)},
                               {"step", number.step},
                               {"decimals", number.decimals}});
        }
        list.push_back({{"key", entry.key},
                        {"point", entry.point},
                        {"unit", entry.unit},
                        {"numbers", std::move(numbers)},
                        {"one", entry.one},
                        {"several", entry.several}});
    }
    return list;
}

/// Of curves over speed only the points that stand for the others, each by itself.
SolveResult telling_points(const SolveResult& all) {
    SolveResult few = all;
    few.points.clear();
    few.curves.clear();
    for (const auto* point : all.telling()) few.points.push_back(*point);
    return few;
}

/// One point of a result, alone.
SolveResult alone(const SolveResult& result, const PointResult& point) {
    SolveResult one = result;
    one.points = {point};
    one.points.front().traces.clear();
    return one;
}

/// The stored figures as the page will draw the moved ones.
Json points_json(const Case& c, const SolveResult& result) {
    Json list = Json::array();
    for (const auto& point : result.points) {
        Json one = {{"name", point.name}, {"converged", point.converged}};
        if (point.converged) {
            const auto source = alone(result, point);
            for (const std::string part : {"figures", "bias", "row", "watch", "losses", "trims"}) {
                one["html"][part] = live_fragment(part, c, source);
            }
        }
        list.push_back(std::move(one));
    }
    return list;
}

const PointResult* any_converged(const SolveResult& result) {
    const auto found = std::find_if(result.points.begin(),
                                    result.points.end(),
                                    [](const auto& point) { return point.converged; });
    return found == result.points.end() ? nullptr : &*found;
}

}  // namespace

std::optional<LivePage> live_page(const ReportSource& source, double target) {
    if (!source.design || !source.design->has_engine) return std::nullopt;
    const SolveResult result = telling_points(settled(source.result));
    const auto* any = any_converged(result);
    const auto entries = live_entries(*source.design);
    if (any == nullptr || entries.empty()) return std::nullopt;
    const Case& c = *source.design;
    const Json data = {
        {"case_text", c.text},
        {"case_name", "case"},  // as in the stored warnings; HDF5 and JSON give equal pages
        {"entries", entries_json(entries)},
        {"first", verdict(result).worst.value_or(0)},
        {"target_percent", tidy(geometry::to_unit(target, "%"))},
        {"over_speed", !c.curves.empty()},
        {"points", points_json(c, result)},
        {"heads", html::live_row_heads(result)}};
    LivePage page;
    page.data = html::safe_json(data.dump(-1, ' ', false, Json::error_handler_t::replace));
    page.module = live_module().packed;
    page.worker = live_module().worker;
    return page;
}

}  // namespace plenair
