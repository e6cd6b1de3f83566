#include "cases/report/terminal/curve.hpp"

#include "cases/report/words/numbers.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace plenair {

namespace {

using geometry::to_unit;

std::string whole_rpm(double speed) {
    return fmt::format("{:.0f}", to_unit(speed, "rpm"));
}

std::string band_cell(const PointResult& point) {
    return point.bias_band > 0 ? fixed(std::max(percent(point.bias_band), 0.1), 1) : "-";
}

/// Whether the favoured end of a plenum changes from the last speed that can be told to this one.
bool reverses_at(const PointResult& point, const std::vector<Reversal>& found) {
    return std::any_of(
        found.begin(), found.end(), [&](const auto& each) { return each.to == point.speed; });
}

std::string row(const PointResult& point, bool reversed) {
    std::string text = fmt::format(
        "  {:>6}  {:>6}", whole_rpm(point.speed), fixed(to_unit(point.source_pressure, "kPa"), 1));
    if (!point.converged) return text + "  did not converge: " + point.failure + "\n";
    text += fmt::format("  {:>6}  {:>5}  {:>7}{}",
                        fixed(percent(point.spread), 1),
                        band_cell(point),
                        signed_percent(point.end_bias),
                        reversed ? "<" : " ");
    for (const auto& c : point.cylinders) text += fmt::format("{:>7}", signed_percent(c.bias));
    return text + fmt::format("  {:>7}  {:>7}\n",
                              fixed(to_unit(point.slot_loss, "kPa"), 2),
                              fixed(to_unit(point.air_flow, "g/s"), 1));
}

std::string head(const std::vector<CylinderResult>& cylinders) {
    std::string names, units;
    for (const auto& c : cylinders) {
        names += fmt::format("{:>7}", fmt::format("cyl {}", c.cylinder));
        units += fmt::format("{:>7}", "%");
    }
    constexpr auto line = "  {:>6}  {:>6}  {:>6}  {:>5}  {:>7} {}  {:>7}  {:>7}\n";
    return fmt::format(line, "speed", "before", "spread", "band", "end", names, "slot", "air") +
           fmt::format(line, "rpm", "kPa", "%", "+/-%", "bias %", units, "kPa", "g/s");
}

std::string worst_line(const CurveResult& curve, const Paint& paint) {
    if (!curve.worst) return "";
    const auto& worst = *curve.worst;
    std::string text = fmt::format(
        "  worst speed {} rpm (known to {:.0f} rpm): spread {} %{}",
        whole_rpm(worst.speed),
        to_unit(curve.speed_uncertainty, "rpm"),
        fixed(percent(worst.spread), 2),
        worst.spread_band > 0 ? fmt::format(" +/-{} %", fixed(percent(worst.spread_band), 2))
                              : std::string());
    text += fmt::format(", {} % above the steps", fixed(percent(curve.spread_gain), 2));
    for (const auto& c : worst.cylinders) {
        text += fmt::format("{} cyl {} {}",
                            &c == worst.cylinders.data() ? ";" : ",",
                            c.cylinder,
                            signed_percent(c.bias));
    }
    return paint.caution(text) + "\n";
}

}  // namespace

std::string curve_tables(const SolveResult& result, const Paint& paint) {
    std::string text;
    for (const auto& curve : result.curves) {
        const auto begin = result.points.begin() + static_cast<std::ptrdiff_t>(curve.first);
        const auto end = begin + static_cast<std::ptrdiff_t>(curve.count);
        const auto shown =
            std::find_if(begin, end, [](const auto& point) { return point.converged; });
        if (curve.count == 0) continue;
        text += "\n" +
                paint.heading(fmt::format("curve {}: {} to {} rpm in {} speeds; bias by cylinder",
                                          curve.name,
                                          whole_rpm(begin->speed),
                                          whole_rpm((end - 1)->speed),
                                          curve.count)) +
                "\n";
        text += head(shown == end ? begin->cylinders : shown->cylinders);
        std::vector<const PointResult*> steps;
        for (auto point = begin; point != end; ++point) steps.push_back(&*point);
        const auto found = reversals(steps);
        for (const auto* step : steps) {
            text += row(*step, step->converged && reverses_at(*step, found));
        }
        if (!found.empty()) {
            text += fmt::format(
                "  < end bias{} has reversed since the last speed at which it can be told\n",
                found.front().bank.empty() ? "" : " of a bank");
        }
        text += worst_line(curve, paint);
    }
    return text;
}

}  // namespace plenair
