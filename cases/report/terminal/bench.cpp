#include "cases/report/terminal.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair {

namespace {

using geometry::to_unit;

constexpr auto set_up_row = "{:<{}} {:>10} {:>7} {:>8} {:>8} {:>8} {:>8} {:>7} {:>6} {:>9}\n";

/// Width of the first column.
std::size_t name_width(const BenchStudyResult& result) {
    std::size_t width = 12;
    for (const auto& set_up : result.set_ups) width = std::max(width, set_up.name.size());
    return width;
}

std::string table_head(const geometry::OutputUnits& units, std::size_t width) {
    return fmt::format(set_up_row,
                       "set-up",
                       width,
                       "depression",
                       "",
                       "density",
                       "flow",
                       "volume",
                       "at",
                       "mass",
                       "Cd",
                       "on area") +
           fmt::format(set_up_row,
                       "",
                       width,
                       "Pa",
                       "inH2O",
                       "kg/m3",
                       "g/s",
                       "CFM",
                       "kg/m3",
                       "lb/min",
                       "",
                       units.in_place_of("mm2"));
}

std::string table_row(const BenchResult& set_up,
                      double reference_density,
                      const geometry::OutputUnits& units,
                      std::size_t width) {
    const BenchNumbers numbers = bench_numbers(set_up, reference_density);
    const bool has_cd = set_up.cd > 0;
    const std::string area = geometry::format_as(set_up.reference_area, "mm2", 1, units);
    return fmt::format(set_up_row,
                       set_up.name,
                       width,
                       fixed(set_up.depression, 1),
                       fixed(to_unit(set_up.depression, "inH2O"), 2),
                       fixed(set_up.density, 4),
                       fixed(to_unit(set_up.flow, "g/s"), 1),
                       fixed(to_unit(numbers.volume_flow, "CFM"), 1),
                       fixed(numbers.cfm_density, 4),
                       fixed(to_unit(set_up.flow, "lb/min"), 2),
                       has_cd ? fixed(set_up.cd, 3) : "-",
                       has_cd ? area.substr(0, area.find(' ')) : "-");
}

std::string runner_lines(const BenchResult& set_up, const BenchNumbers& numbers) {
    if (numbers.bias.empty()) return "";
    std::string text = "  runner  flow g/s  bias %\n";
    for (std::size_t i = 0; i < numbers.bias.size(); ++i) {
        text += fmt::format("  {:>6}  {:>8}  {:>6}\n",
                            runner_number(set_up, i),
                            fixed(to_unit(set_up.flow_per_runner[i], "g/s"), 1),
                            numbers.bias[i] ? signed_percent(*numbers.bias[i]) : "closed");
    }
    return text +
           fmt::format("  spread of the runners {} %\n", fixed(percent(runner_spread(numbers)), 1));
}

/// Heads at their lifts, one table for cylinders that are alike.
std::string valve_table(const BenchStudyResult& result) {
    constexpr auto row = "  {:>10} {:>6} {:>8} {:>8} {:>8} {:>8} {:>8}\n";
    const char* unit = result.units.inches() ? "in" : "mm";
    std::string text;
    const std::vector<int>* cylinders = nullptr;
    const std::string* bank = nullptr;
    for (const auto& set_up : result.set_ups) {
        if (!set_up.valve || !set_up.converged) continue;
        const ValveFlow& v = *set_up.valve;
        if (cylinders == nullptr || *cylinders != v.cylinders || *bank != set_up.bank) {
            cylinders = &v.cylinders;
            bank = &set_up.bank;
            text += fmt::format(
                "\nhead of {}: Cd against isentropic flow from the air before it to "
                "the pressure behind it\n",
                geometry::cylinder_words(v.cylinders));
            text += fmt::format(row, "lift", "L/D", "flow", "curtain", "seat", "head", "valve");
            text += fmt::format(row, unit, "", "g/s", "pi D L", "circle", "circle", "alone");
        }
        text += fmt::format(row,
                            fixed(to_unit(v.lift, unit), result.units.inches() ? 3 : 2),
                            fixed(v.lift_over_diameter, 3),
                            fixed(to_unit(set_up.flow, "g/s"), 1),
                            fixed(v.cd_curtain, 4),
                            fixed(v.cd_seat, 4),
                            fixed(v.cd_head, 4),
                            fixed(v.cd_valve, 4));
    }
    return text;
}

std::string outlet_line(const BenchResult& set_up) {
    if (set_up.outlet_flow == 0.0) return "";
    return fmt::format("  of it through the outlet {} g/s\n",
                       fixed(to_unit(set_up.outlet_flow, "g/s"), 1));
}

std::string slot_lines(const BenchResult& set_up, const BenchNumbers& numbers) {
    if (!numbers.slot) return "";
    const bool holes = !set_up.hole_flow.empty();
    const auto end = [&](BenchFeed feed, const char* name, double over_mean) {
        const char* kind = set_up.feed == BenchFeed::elsewhere ? ""
                           : set_up.feed == feed               ? ", the fed end"
                                                               : ", the closed end";
        return fmt::format("{} at {}{}", fixed(over_mean, 4), name, kind);
    };
    return fmt::format("  {} over the mean: {}; {}; spread {} %\n",
                       holes ? "flow of the holes" : "slot flow per length",
                       end(BenchFeed::start, geometry::start_name, numbers.slot->start_over_mean),
                       end(BenchFeed::far, geometry::end_name, numbers.slot->far_over_mean),
                       fixed(percent(numbers.slot->spread), 1));
}

std::string hole_lines(const BenchResult& set_up) {
    if (set_up.hole_flow.empty()) return "";
    std::string text = "  hole flow g/s:";
    for (const double flow : set_up.hole_flow) {
        text += " " + fixed(to_unit(flow, "g/s"), 2);
    }
    return text + "\n";
}

std::string band_line(const BenchResult& set_up, const std::string& band_source) {
    if (set_up.bias_band <= 0) return "";
    const double band = percent(set_up.bias_band);
    return fmt::format("  band {} % from the model coefficients{}\n",
                       band < 0.1 ? std::string("less than 0.1") : "+/-" + fixed(band, 1),
                       band_source);
}

std::string details(const BenchResult& set_up,
                    double reference_density,
                    const std::string& band_source,
                    const Paint& paint) {
    std::string text = paint.heading(set_up.name) + "\n";
    if (set_up.converged) {
        const BenchNumbers numbers = bench_numbers(set_up, reference_density);
        text += runner_lines(set_up, numbers) + slot_lines(set_up, numbers) + hole_lines(set_up) +
                outlet_line(set_up) + band_line(set_up, band_source);
    } else {
        text += paint.alarm("  did not converge: " + set_up.failure) + "\n";
        text += "  This is not a result: no flow is given.\n";
    }
    text += fmt::format(
        "  {} iterations, residual {}\n", set_up.iterations, scientific(set_up.residual));
    for (const auto& note : set_up.notes) text += paint.caution("  note: " + note) + "\n";
    return text;
}

}  // namespace

std::string terminal_text(const BenchStudyResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    const std::string source = band_source(result.assumed);
    const std::size_t width = name_width(result);
    text += "\n" + table_head(result.units, width);
    for (const auto& set_up : result.set_ups) {
        if (set_up.converged)
            text += table_row(set_up, result.reference_density, result.units, width);
    }
    text += valve_table(result);
    for (const auto& set_up : result.set_ups) {
        if (set_up.valve && set_up.converged && set_up.notes.empty()) continue;  // in their table
        text += "\n" + details(set_up, result.reference_density, source, paint);
    }
    return text + "\n" + assumed_lines(result.assumed) + model_limits() + "\n" + cautions();
}

}  // namespace plenair
