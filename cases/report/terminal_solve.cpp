#include "cases/report/caution.hpp"
#include "cases/report/numbers.hpp"
#include "cases/report/paint.hpp"
#include "cases/report/terminal.hpp"
#include "cases/report/trim_words.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

using geometry::to_unit;

std::string point_head(const PointResult& point) {
    return fmt::format("{}: {:.0f} rpm, {:.1f} kPa abs, {:.1f} K ({:.1f} degC) before the throttle",
                       point.name,
                       to_unit(point.speed, "rpm"),
                       to_unit(point.source_pressure, "kPa"),
                       point.source_temperature,
                       to_unit(point.source_temperature, "degC"));
}

std::string cylinder_table(const PointResult& point) {
    constexpr auto row = "  {:>8}  {:>8}  {:>11}  {:>6}  {:>6}  {:>6}  {:>8}\n";
    const auto trims = usual_trims(point);
    std::string text =
        fmt::format(row, "cylinder", "firing", "air trapped", "share", "bias", "trim", "residual");
    text += fmt::format(row, "", "position", "mg/cycle", "%", "%", "%", "%");
    for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
        const auto& c = point.cylinders[i];
        text += fmt::format(row,
                            c.cylinder,
                            c.firing_position,
                            fixed(to_unit(c.air_trapped, "mg"), 1),
                            fixed(percent(c.share), 1),
                            signed_percent(c.bias),
                            trims ? signed_percent(trims->rounded.at(i)) : "-",
                            fixed(percent(c.residual_fraction), 1));
    }
    return text;
}

std::string loss(const char* where, double value, const PointResult& point) {
    return fmt::format("{} {} kPa ({} %)",
                       where,
                       fixed(to_unit(value, "kPa"), 2),
                       fixed(percent(value / point.source_pressure), 1));
}

std::string flow_lines(const PointResult& point) {
    std::string text = fmt::format("  air flow     {} g/s ({} lb/min), VE {}\n",
                                   fixed(to_unit(point.air_flow, "g/s"), 1),
                                   fixed(to_unit(point.air_flow, "lb/min"), 1),
                                   fixed(point.volumetric_efficiency, 3));
    text += fmt::format("  losses       {}, {},\n               {}, {} of source pressure\n",
                        loss("throttle", point.throttle_loss, point),
                        loss("slot", point.slot_loss, point),
                        loss("mouth", point.mouth_loss, point),
                        loss("runner and port", point.port_loss, point));
    text += fmt::format(
        "  slot         peak Mach {}, choke margin {} %, effective area {} of the "
        "throttle's\n",
        fixed(point.slot_mach, 2),
        fixed(percent(point.choke_margin), 1),
        fixed(point.slot_to_throttle, 2));
    text +=
        fmt::format("  valves       mean inlet Mach index {}\n", fixed(point.inlet_mach_index, 2));
    return text;
}

/// Whether a difference is more than the model coefficients leave open.
std::string against_band(double difference, double band) {
    if (band <= 0) return "";
    return std::abs(difference) <= band ? " (inside the band)" : " (outside the band)";
}

std::string distribution_lines(const PointResult& point) {
    const double band = point.bias_band;
    std::string text = fmt::format("  spread       {} %{}\n",
                                   fixed(percent(point.spread), 1),
                                   against_band(point.spread, band));
    text += fmt::format("  end bias     {} % (last minus first cylinder){}\n",
                        signed_percent(point.end_bias),
                        against_band(point.end_bias, band));
    text += band > 0 ? fmt::format("  band         {} % from the model coefficients\n",
                                   percent(band) < 0.1 ? std::string("less than 0.1")
                                                       : "+/-" + fixed(percent(band), 1))
                     : std::string("  band         not computed\n");
    if (band > 0 && std::abs(point.spread) <= band) {
        text +=
            "  The difference between the cylinders is inside the band: it cannot be told from "
            "none.\n";
    }
    return text;
}

std::string balance_lines(const PointResult& point) {
    return fmt::format(
        "  balances     mass {}, energy {}, fresh air {}, flow {}\n"
        "  cycles       {}, periodic residual {}\n",
        scientific(point.mass_balance),
        scientific(point.energy_balance),
        scientific(point.fresh_air_balance),
        scientific(point.flow_balance),
        point.cycles,
        scientific(point.periodic_residual));
}

std::string point_text(const PointResult& point, const Paint& paint) {
    std::string text = paint.heading(point_head(point)) + "\n";
    if (point.converged) {
        text += cylinder_table(point) + flow_lines(point) + distribution_lines(point);
    } else {
        text += paint.alarm("  did not converge: " + point.failure) + "\n";
        text += "  This is not a result: no shares are given.\n";
    }
    text += balance_lines(point);
    for (const auto& note : point.notes) text += paint.caution("  note: " + note) + "\n";
    return text;
}

/// Where the study gave no sentence: how many points stand, and the worst of them.
std::string own_summary(const SolveResult& result) {
    const PointResult* worst = nullptr;
    int standing = 0;
    for (const auto& point : result.points) {
        if (!point.converged) continue;
        ++standing;
        if (worst == nullptr || point.spread > worst->spread) worst = &point;
    }
    if (worst == nullptr) return "No point converged: there is no result.";
    return fmt::format("{} of {} points converged; the largest spread is {} % at {}.",
                       standing,
                       result.points.size(),
                       fixed(percent(worst->spread), 1),
                       worst->name);
}

}  // namespace

std::string terminal_text(const SolveResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    for (const auto& point : result.points) text += "\n" + point_text(point, paint);
    const std::string summary = result.summary.empty() ? own_summary(result) : result.summary;
    text += "\n" + paint.heading(summary) + "\n";
    text += "Bias: more air than the mean is +, leaner on equal fuel.\n";
    text += "Trim of fuel: " + trim_sign() + "; plenair trim says what it asks for.\n";
    return text + model_limits() + "\n" + cautions();
}

}  // namespace plenair
