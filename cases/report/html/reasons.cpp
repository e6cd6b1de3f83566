#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::html {

namespace {

using geometry::to_unit;

/// With its sign, a true minus, and no sign where it is zero as shown.
std::string signed_number(double value, int decimals) {
    const std::string text = number_text(value, decimals);
    const bool zero = text.find_first_of("123456789") == std::string::npos;
    return zero || value < 0 ? text : "+" + text;
}

std::string sensitivities_table(const Reasons& reasons) {
    if (reasons.sensitivities.empty()) return "";
    Table table("Each drawn dimension 5 % larger at " + escaped(reasons.point) + ", largest first",
                {"Dimension", "Moved by", "Spread<br>%", "Slot loss<br>kPa"});
    for (const auto& each : reasons.sensitivities) {
        table.row({{"<code>" + escaped(each.key) + "</code>", ""},
                   {escaped(each.change), ""},
                   {signed_number(percent(each.spread), 2), "strong"},
                   {signed_number(to_unit(each.slot_loss, "kPa"), 2), ""}});
    }
    return table.text("Sensitivities");
}

std::string causes_table(const Reasons& reasons) {
    if (reasons.parts.empty()) return "";
    Table table(
        fmt::format("The spread of {} % at {} by cause (Shapley values); the parts sum to it",
                    fixed(percent(reasons.spread), 2),
                    escaped(reasons.point)),
        {"Cause", "Part of the spread<br>%"});
    for (const auto& part : reasons.parts) {
        table.row({{escaped(part.name), ""}, {signed_number(percent(part.spread), 2), ""}});
    }
    table.row({{left_over, ""}, {signed_number(percent(reasons.rest), 2), ""}});
    return table.text("Causes of the spread");
}

}  // namespace

std::string reasons_section(const Place& place) {
    const Reasons& reasons = place.result().reasons;
    const std::string tables = causes_table(reasons) + sensitivities_table(reasons);
    return tables.empty() ? "" : section(place.id("reasons"), "What moves the spread", tables);
}

}  // namespace plenair::html
