#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace plenair::html {

namespace {

using geometry::to_unit;

/// "fires 3rd"
std::string firing_words(const SolveResult& result, int cylinder) {
    for (const auto& point : result.points) {
        const auto* c = find_cylinder(point, cylinder);
        if (c == nullptr || c->firing_position < 1) continue;
        const int n = c->firing_position;
        const bool teen = n % 100 > 10 && n % 100 < 14;
        const char* ending = teen          ? "th"
                             : n % 10 == 1 ? "st"
                             : n % 10 == 2 ? "nd"
                             : n % 10 == 3 ? "rd"
                                           : "th";
        return fmt::format("fires {}{}", n, ending);
    }
    return "";
}

bool any_band(const SolveResult& result) {
    return std::any_of(result.points.begin(), result.points.end(), [](const auto& point) {
        return point.bias_band > 0;
    });
}

std::string band_text(const PointResult& point) {
    if (!(point.bias_band > 0)) return "-";
    return "&plusmn;" + fixed(std::max(percent(point.bias_band), 0.1), 1);
}

std::string bias_table(const SolveResult& result, double target) {
    const auto numbers = cylinder_numbers(result);
    std::vector<std::string> heads = {"Point", "Speed<br>rpm", "Throttle<br>kPa abs"};
    for (const int number : numbers) {
        heads.push_back(
            fmt::format("Cyl. {}<br><small>{}</small>", number, firing_words(result, number)));
    }
    heads.emplace_back("Spread<br>%");
    // Of several banks each has its own, in the table of banks.
    const bool ends =
        banks_of(result).size() < 2 && (banks_of(result).empty() || !end_bias_note(result).empty());
    if (ends) heads.emplace_back("End bias<br>%");
    const bool banded = any_band(result);
    if (banded) heads.emplace_back("Band<br>%");
    Table table(
        "Bias of each cylinder in % of the mean air: + is more air, leaner on equal fuel. "
        "Pressure: "
        "before the throttle",
        heads);
    for (const auto& point : result.points) {
        std::vector<Cell> cells = {{escaped(point.name), ""},
                                   {rpm_text(point.speed), ""},
                                   {fixed(to_unit(point.source_pressure, "kPa"), 1), ""}};
        for (const int number : numbers) {
            const auto* c = find_cylinder(point, number);
            if (!point.converged || c == nullptr) {
                cells.push_back({"-", "none"});
            } else {
                cells.push_back({bias_text(c->bias), bias_class(c->bias, least_difference(point))});
            }
        }
        if (point.converged) {
            cells.push_back(meets(point, target)
                                ? Cell{fixed(percent(point.spread), 1), "strong"}
                                : Cell{spread_text(point, target) + "<br><small>over " +
                                           fixed(percent(target), 1) + "</small>",
                                       "alarm"});
            if (ends) cells.push_back({bias_text(point.end_bias), ""});
        } else {
            cells.push_back({"no result", ""});
            if (ends) cells.push_back({"-", ""});
        }
        if (banded) cells.push_back({band_text(point), ""});
        table.row(cells);
    }
    const std::string note = end_bias_note(result);
    return table.text("Bias by point and cylinder") +
           (ends && !note.empty() ? paragraph(note, "note") : std::string());
}

/// What each bank gets and how it shares that out; nothing where there is one bank.
std::string bank_table(const SolveResult& result) {
    if (banks_of(result).size() < 2) return "";
    Table table("Banks: what each gets of the air, and the spread and end bias inside it",
                {"Point",
                 "Bank",
                 "Cylinders<br>along x",
                 "Air flow<br>g/s",
                 "Share<br>%",
                 "Bias of<br>the bank, %",
                 "Spread<br>inside, %",
                 "End bias<br>inside, %"});
    for (const std::size_t column : {1U, 2U}) table.words(column);
    for (const auto& point : result.points) {
        if (!point.converged) continue;
        for (const auto& bank : point.banks) {
            table.row({{escaped(point.name), ""},
                       {escaped(bank.name), "word"},
                       {geometry::listed(bank.cylinders), "word"},
                       {fixed(to_unit(bank.air_flow, "g/s"), 1), ""},
                       {fixed(percent(bank.share), 1), ""},
                       {bias_text(bank.bias), bias_class(bank.bias, least_difference(point))},
                       {fixed(percent(bank.spread), 1), "strong"},
                       {bank.first.empty() ? "-" : bias_text(bank.end_bias), ""}});
        }
    }
    return table.text("Air by point and bank") + paragraph(end_bias_note(result), "note");
}

/// Bias of each cylinder inside its bank; nothing where there is one bank.
std::string bank_bias_table(const SolveResult& result) {
    const auto& banks = banks_of(result);
    if (banks.size() < 2) return "";
    std::vector<std::string> heads = {"Point"};
    std::vector<int> order;
    for (const auto& bank : banks) {
        for (const int number : bank.cylinders) {
            heads.push_back(
                fmt::format("Cyl. {}<br><small>{}</small>", number, escaped(bank.name)));
            order.push_back(number);
        }
    }
    Table table("Bias of each cylinder inside its bank, in % of the mean air of the bank", heads);
    for (const auto& point : result.points) {
        if (!point.converged) continue;
        std::vector<Cell> cells = {{escaped(point.name), ""}};
        for (const int number : order) {
            const auto* c = find_cylinder(point, number);
            cells.push_back(c == nullptr ? Cell{"-", "none"}
                                         : Cell{bias_text(c->bank_bias),
                                                bias_class(c->bank_bias, least_difference(point))});
        }
        table.row(cells);
    }
    return table.text("Bias inside the banks");
}

std::string air_table(const SolveResult& result) {
    const auto numbers = cylinder_numbers(result);
    std::vector<std::string> heads = {"Point", "Air flow<br>g/s", "lb/min", "VE"};
    for (const int number : numbers) heads.push_back(fmt::format("Cyl. {}<br>mg/cycle", number));
    heads.insert(heads.end(), {"Burned gas<br>at closing, %", "Inlet<br>Mach<br>index"});
    Table table("Air trapped in each cylinder a cycle, and what the engine breathes", heads);
    for (const auto& point : result.points) {
        if (!point.converged) continue;
        std::vector<Cell> cells = {{escaped(point.name), ""},
                                   {fixed(to_unit(point.air_flow, "g/s"), 1), ""},
                                   {fixed(to_unit(point.air_flow, "lb/min"), 1), ""},
                                   {fixed(point.volumetric_efficiency, 3), ""}};
        double low = 1, high = 0;
        for (const int number : numbers) {
            const auto* c = find_cylinder(point, number);
            cells.push_back({c == nullptr ? "-" : fixed(to_unit(c->air_trapped, "mg"), 1), ""});
            if (c == nullptr) continue;
            low = std::min(low, c->residual_fraction);
            high = std::max(high, c->residual_fraction);
        }
        cells.push_back({fixed(percent(low), 1) + "-" + fixed(percent(high), 1), ""});
        cells.push_back({fixed(point.inlet_mach_index, 2), ""});
        table.row(cells);
    }
    return table.text("Air by point and cylinder");
}

/// Whether there is more than one speed to draw lines over.
bool several_speeds(const SolveResult& result) {
    std::set<std::string> speeds;
    for (const auto& point : result.points) {
        if (point.converged) speeds.insert(rpm_text(point.speed));
    }
    return speeds.size() > 1;
}

}  // namespace

std::string air_section(const Place& place, double target) {
    std::string text = bias_table(place.result(), target) + bank_table(place.result()) +
                       bank_bias_table(place.result());
    if (several_speeds(place.result())) {
        text += chart(place,
                      "bias-speed",
                      "Bias of each cylinder against engine speed",
                      "Bias against speed, one line a cylinder, numbered at its end. Points of one "
                      "speed under different loads stand above one another; the line follows the "
                      "one with the highest pressure. Shaded: less than can be told apart.");
    }
    text += air_table(place.result());
    return section(place.id("air"), "Air by cylinder", text);
}

}  // namespace plenair::html
