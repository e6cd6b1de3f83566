#include "cases/report/fit.hpp"
#include "cases/report/terminal.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <cmath>

namespace plenair {

namespace {

using geometry::to_unit;

/// A value of an entry as people write it.
std::string shown(double value,
                  const std::string& unit,
                  int decimals,
                  const geometry::OutputUnits& units) {
    if (unit != "mm") {
        return fixed(value, decimals);
    }
    return fixed(to_unit(value, units.in_place_of(unit)), units.inches() ? 4 : decimals);
}

std::string entry_table(const FitResult& result) {
    constexpr auto row = "  {:<22} {:>4} {:>9} {:>9} {:>9} {:>9}{}\n";
    std::string text = fmt::format(row, "entry", "", "before", "+/-", "after", "+/-", "");
    for (const auto& e : result.entries) {
        const double narrower = e.before_half > 0 ? 1 - e.after_half / e.before_half : 0;
        std::string remark = e.at_bound           ? "at its bound"
                             : e.gauged           ? "gauged"
                             : e.before_half <= 0 ? "free"
                                                  : "";
        if (narrower > 0.05 && !e.at_bound) {
            remark += (remark.empty() ? "" : ", ") +
                      fmt::format("{} % narrower", fixed(percent(narrower), 0));
        }
        if (!e.whose.empty()) {
            remark += (remark.empty() ? "" : ", ") + e.whose;
        }
        text += fmt::format(row,
                            e.key,
                            result.units.in_place_of(e.unit),
                            shown(e.before, e.unit, 3, result.units),
                            e.before_half > 0 ? shown(e.before_half, e.unit, 3, result.units) : "-",
                            shown(e.after, e.unit, 3, result.units),
                            shown(e.after_half, e.unit, 3, result.units),
                            remark.empty() ? remark : "  " + remark);
    }
    return text;
}

std::string reading_in_unit(double value, const std::string& unit) {
    if (unit.empty()) {
        return fixed(value, 3);
    }
    return fixed(to_unit(value, unit), unit == "degC" ? 0 : 1);
}

std::string half_in_unit(double half, const std::string& unit) {
    return unit == "degC" ? fixed(half, 0) : reading_in_unit(half, unit);
}

std::string reading_table(const FitResult& result) {
    constexpr auto row = "  {:<22} {:>5} {:>9} {:>8} {:>9} {:>9} {:>6}\n";
    std::string text = fmt::format(row, "reading", "", "read", "+/-", "before", "after", "off/sd");
    for (const auto& r : result.all_readings) {
        text += fmt::format(row,
                            r.name,
                            r.unit,
                            reading_in_unit(r.value, r.unit),
                            half_in_unit(r.half, r.unit),
                            reading_in_unit(r.before, r.unit),
                            reading_in_unit(r.after, r.unit),
                            fixed(r.residual, 1));
    }
    return text;
}

std::string air_table(const FitResult& result) {
    std::string text;
    for (const auto& at : result.air) {
        text += fmt::format("  {:<6} spread {} % (+/-{}) before, {} % (+/-{}) after\n",
                            at.point,
                            fixed(percent(at.spread_before), 1),
                            fixed(percent(at.spread_before_half), 1),
                            fixed(percent(at.spread_after), 1),
                            fixed(percent(at.spread_after_half), 1));
        std::string line = "         bias %";
        for (std::size_t c = 0; c < at.after.size(); ++c) {
            line += fmt::format(
                "  {}+/-{}", signed_percent(at.after[c]), fixed(percent(at.after_half[c]), 1));
        }
        text += line + "\n";
    }
    return text;
}

std::string split_table(const FitResult& result) {
    constexpr auto row = "  {:>8} {:>8} {:>8} {:>9} {:>8} {:>12}  {:>5} {:>8} {:>6} {:>6}\n";
    std::string text = fmt::format(row,
                                   "cylinder",
                                   "excess",
                                   "air",
                                   "injector",
                                   "sensor",
                                   "unexplained",
                                   "air %",
                                   "injector",
                                   "sensor",
                                   "none");
    const auto signed3 = [](double value) { return fmt::format("{:+.3f}", value); };
    const auto whole = [](double probability) { return fixed(percent(probability), 0); };
    for (const auto& s : result.splits) {
        if (s.measured) {
            text += fmt::format(row,
                                s.cylinder,
                                signed3(s.excess),
                                signed3(s.air),
                                signed3(s.injector),
                                signed3(s.sensor),
                                signed3(s.unexplained),
                                whole(s.probability_air),
                                whole(s.probability_injector),
                                whole(s.probability_sensor),
                                whole(s.probability_none));
        } else {
            text += fmt::format("  {:>8} not measured\n", s.cylinder);
        }
    }
    return text;
}

std::string trim_table(const FitResult& result) {
    constexpr auto row = "  {:<8} {:>8} {:>8} {:>6} {:>8} {:>6}{}\n";
    std::string text = fmt::format(row, "point", "cylinder", "lambda", "+/-", "trim %", "+/-", "");
    for (const auto& t : result.trims) {
        text += fmt::format(row,
                            t.point,
                            t.cylinder,
                            fixed(t.lambda, 3),
                            fixed(t.lambda_half, 3),
                            signed_percent(t.trim),
                            fixed(percent(t.half), 1),
                            t.measured ? "" : "  no sensor: kept rich");
    }
    return text;
}

std::string list_of(const std::string& head, const std::vector<std::string>& lines) {
    std::string text;
    for (const auto& line : lines) {
        text += (text.empty() ? "\n" + head + "\n" : "") + "  " + line + "\n";
    }
    return text;
}

std::string next_lines(const FitResult& result) {
    std::string text;
    for (const auto& n : result.next) {
        const bool of_spread = n.spread_narrows >= 0.005;
        const bool of_entry = n.entry_narrows >= 0.005;
        text += text.empty() ? "\nMeasure next, most worth for its effort first\n" : "";
        text += fmt::format("  {}: narrows ", n.what);
        if (of_spread) {
            text += fmt::format("the spread's band by {} %", fixed(percent(n.spread_narrows), 0));
        }
        if (of_entry) {
            text += fmt::format("{} {} by {} %",
                                of_spread ? ", that of" : "the band of",
                                n.entry,
                                fixed(percent(n.entry_narrows), 0));
        }
        text += "\n";
    }
    return text;
}

std::string tap_table(const TapChoice& tap, const geometry::OutputUnits& units) {
    std::string text = fmt::format("  {:>10}", fmt::format("x, {}", units.in_place_of("mm")));
    for (const auto& point : tap.points) {
        text += fmt::format("  {:>8}", point);
    }
    text += "   kPa between the cylinders\n";
    for (std::size_t i = 0; i < tap.places.size(); ++i) {
        const auto& place = tap.places[i];
        text += fmt::format(
            "  {:>10}", fixed(to_unit(place.x, units.in_place_of("mm")), units.decimals("mm", 0)));
        for (const double unlike : place.unlike) {
            text += fmt::format("  {:>8}", fixed(to_unit(unlike, "kPa"), 2));
        }
        text += place.in_mouth  ? "   in a bell mouth: not there\n"
                : i == tap.best ? "   most alike\n"
                                : "\n";
    }
    return text;
}

std::string fault_lines(const FitResult& result) {
    if (result.faults.empty()) {
        return "";
    }
    std::string text =
        fmt::format("\nFaults by probability (none {} %)\n", fixed(percent(result.no_fault), 0));
    for (const auto& f : result.faults) {
        text += fmt::format("  {:>3} %  {}{}\n",
                            fixed(percent(f.probability), 0),
                            f.text,
                            f.named ? "  <- named" : "");
    }
    return text;
}

}  // namespace

std::string terminal_text(const FitResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest) +
                       readings_head(paint, result.measured_title, result.made_up, result.summary);
    if (!result.converged) {
        return text;
    }
    text += "\n" + paint.heading("What is not known exactly (bands are 95 %)") + "\n" +
            entry_table(result);
    text += list_of("Not told apart", result.alike);
    text += "\n" + paint.heading("Readings") + "\n" + reading_table(result);
    if (!result.splits.empty()) {
        text += "\n" +
                paint.heading(
                    "Lambda of each cylinder: what it is made of, and how likely "
                    "each is at fault") +
                "\n" + split_table(result) + fault_lines(result);
    }
    if (!result.air.empty()) {
        text += "\n" + paint.heading("Air of each cylinder") + "\n" + air_table(result);
    }
    if (!result.trims.empty()) {
        text += "\n" + paint.heading("New trims (+ is more fuel)") + "\n" + trim_table(result);
    }
    text += next_lines(result);
    for (const auto& tap : result.taps) {
        text += "\n" + paint.heading("Where to put the pressure tap") + "\n" +
                wrapped("", tap.words) + tap_table(tap, result.units);
    }
    text += list_of("Notes", result.notes);
    text += list_of("Uncertainties that the file does not state", result.defaults);
    return text + "\n" + model_limits() + "\n" + cautions();
}

}  // namespace plenair
