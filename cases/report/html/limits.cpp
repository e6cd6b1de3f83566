#include "cases/report/html/parts.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace plenair::html {

namespace {

// The same as the last section of docs/theory.md, in the reader's words.
std::vector<std::string> not_in_model() {
    return {
        "Swirl, recirculation, a jet that clings to a wall; bell mouths that disturb one another.",
        "Fuel: no vapour, no films, no cooling; fuel that evaporates displaces and cools air.",
        "Heat release of single cylinders: a lean cylinder burns like the others.",
        // NOLINTNEXTLINE(bugprone-suspicious-missing-comma): one sentence
        "Exhaust pipes: behind the valves stand the pressures of the case, constant or over crank "
        "angle, and a constant temperature.",
        "Charge pipe, filter and cooler: the air before the throttle is at rest as stated.",
        "Unsteady loss coefficients: every law is the steady one of its moment.",
        "Power: the cylinders are there for pressure and burned gas, not to predict torque.",
    };
}

std::string entries(const Case& design) {
    std::string text = escaped(design.digest) + "\n\n";
    for (const auto& line : design.echo) {
        if (line.starts_with("case.")) continue;
        text += escaped(line) + "\n";
    }
    return "<details><summary>Every entry of the case as it was understood</summary>\n<pre "
           "tabindex=\"0\">" +
           text + "</pre></details>\n";
}

std::string assumed_table(const Case& design) {
    if (design.assumed.empty()) return "";
    Table table(
        "Entries that nobody has confirmed: measure or decide each, then delete its line in "
        "[assumed] of the case file",
        {"Entry", "Value", "Within", "Basis"});
    for (const std::size_t column : {1u, 2u, 3u}) table.words(column);
    for (const auto& entry : design.assumed) {
        table.row({{escaped(entry.key), ""},
                   {escaped(entry.value), "word"},
                   {entry.within.empty() ? "-" : "&plusmn;" + escaped(entry.within), "word"},
                   {escaped(entry.basis), "word"}});
    }
    return "<h3>Assumed, not confirmed</h3>\n" + table.text("Assumed entries");
}

bool measures_computation(const Quantity<PointResult>& quantity) {
    return quantity.line == Line::balances || quantity.line == Line::periodicity;
}

/// "Mass<br>balance"
std::string head_text(std::string words) {
    words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words.front())));
    const auto space = words.find(' ');
    return space == std::string::npos ? words : words.replace(space, 1, "<br>");
}

}  // namespace

std::string limits_section(const Place& place) {
    std::string text = paragraph(
        "Each part is a row of small volumes along x; the air obeys the balances of mass, momentum "
        "and energy in them, and published laws of throttle, slot, bell mouth and valve between "
        "them. A point is repeated cycle after cycle until it repeats itself.");
    text += paragraph(escaped(hardware_words()) + " A difference below the band is none.");
    text += "<h3>Not in the model</h3>\n" + list(not_in_model());
    if (place.source.design) {
        text += assumed_table(*place.source.design) + entries(*place.source.design);
    } else {
        text += paragraph(
            "The case text of this result could not be read; its entries, its drawing "
            "and all that follows from its dimensions are missing here.",
            "note");
    }
    return section(place.id("limits"), "Assumptions and limits", text);
}

std::string convergence_section(const Place& place) {
    std::vector<std::string> heads{"Point", "State", "Cycles"};
    for (const auto& quantity : point_quantities()) {
        if (measures_computation(quantity)) heads.push_back(head_text(quantity.words));
    }
    Table table("How well the last cycle repeated the one before, and what its balances leave over",
                heads);
    table.words(1);
    for (const auto& point : place.result().points) {
        std::vector<Cell> cells{
            {escaped(point.name), ""},
            {point.converged ? "converged" : "not converged", point.converged ? "word" : "alarm"},
            {std::to_string(point.cycles), ""}};
        for (const auto& quantity : point_quantities()) {
            if (measures_computation(quantity)) {
                cells.push_back({shown_number(quantity, point.*quantity.member), ""});
            }
        }
        table.row(cells);
    }
    const std::string text =
        table.text("Convergence and balances") +
        paragraph(
            "Mass, energy and fresh air: what is missing over the last cycle, as a share of "
            "what came in; rounding leaves about 1e-12. Flow: sum of the cylinders against the "
            "throttle. Converged: the estimated error of every share is below the case's "
            "tolerance (model.tolerance).",
            "note") +
        every_figure(place.result());
    return section(place.id("convergence"), "Convergence and balances", text);
}

}  // namespace plenair::html
