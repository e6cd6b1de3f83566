#include "cases/report/terminal.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace plenair {

namespace {

using geometry::Dimension;
using geometry::PressureKind;

/// Value in the unit of the trade that belongs to an SI unit; other units stand as they are.
std::string trade_text(const DerivedNumber& number, const geometry::OutputUnits& units) {
    using enum Dimension;
    constexpr std::array<std::pair<const char*, Dimension>, 9> known = {{
        {"m", length},
        {"m2", area},
        {"m3", volume},
        {"Pa", pressure},
        {"K", temperature},
        {"kg/s", mass_flow},
        {"kg", mass},
        {"s", time},
        {"kg/m3", density},
    }};
    if (number.unit == "rad/s") return geometry::format_fixed(number.value, "rpm", 0);
    if (number.unit == "rad") return geometry::format_fixed(number.value, "deg", 1);
    if (number.unit == "Hz") return fmt::format("{:.1f} Hz", number.value);
    for (const auto& [unit, dimension] : known) {
        if (number.unit == unit) {
            return geometry::format_quantity(
                number.value, dimension, PressureKind::difference, units, 5);
        }
    }
    const bool bare = number.unit.empty() || number.unit == "1" || number.unit == "-";
    return geometry::format_number(number.value, 5) + (bare ? "" : " " + number.unit);
}

}  // namespace

std::string terminal_text(const CheckResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    std::size_t width = 0;
    for (const auto& number : result.numbers) width = std::max(width, number.text.size());
    text += "\n" + paint.heading("Derived numbers") + "\n";
    for (const auto& number : result.numbers) {
        text += fmt::format("  {:<{}}  {}\n", number.text, width, trade_text(number, result.units));
    }
    text += "\n" + paint.heading("Entries as understood") + "\n";
    for (const auto& line : result.echo) text += "  " + line + "\n";
    if (!result.assumed.empty()) {
        text += "\n" +
                paint.heading(fmt::format("Assumed entries: {} that nobody has confirmed",
                                          result.assumed.size())) +
                "\n";
        for (const auto& entry : result.assumed) text += "  " + assumption_text(entry) + "\n";
        text +=
            "  Measure or decide each, correct it, and delete its line in [assumed]; begin with "
            "those that have a band.\n\n";
    }
    for (const auto& warning : result.warnings) {
        text += paint.caution("warning: " + warning) + "\n";
    }
    return text + "\n" + cautions();
}

}  // namespace plenair
