#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>

namespace plenair::html {

namespace {

/// A true minus sign in place of the hyphen.
std::string typeset(std::string text) {
    if (text.size() > 1 && text.front() == '-') text.replace(0, 1, "&minus;");
    return text;
}

template <class Result>
Cell figure(const Quantity<Result>& quantity, const Result* result, bool converged) {
    if (result == nullptr || !quantity.shows(converged, result->*quantity.member)) {
        return {"-", "none"};
    }
    return {typeset(shown_number(quantity, result->*quantity.member)), ""};
}

template <class Result>
std::vector<Cell> row_begin(const Quantity<Result>& quantity, const std::string& of) {
    const std::string unit = quantity.unit;
    return {{escaped(quantity.words) + of, "word"},
            {unit == "1" ? "" : escaped(unit + quantity.per), "word"}};
}

}  // namespace

std::string every_figure(const SolveResult& result) {
    std::vector<std::string> heads{"Figure", "Unit"};
    for (const auto& point : result.points) heads.push_back(escaped(point.name));
    Table table("Every figure of every point", heads);
    for (const std::size_t column : {0U, 1U}) table.words(column);
    for (const auto& quantity : point_quantities()) {
        auto cells = row_begin(quantity, "");
        for (const auto& point : result.points) {
            cells.push_back(figure(quantity, &point, point.converged));
        }
        table.row(cells);
    }
    for (const auto& quantity : cylinder_quantities()) {
        if (quantity.of_banks && banks_of(result).size() < 2) continue;
        for (const int number : cylinder_numbers(result)) {
            auto cells = row_begin(quantity, fmt::format(", cylinder {}", number));
            for (const auto& point : result.points) {
                cells.push_back(figure(quantity, find_cylinder(point, number), point.converged));
            }
            table.row(cells);
        }
    }
    for (const auto& quantity : bank_quantities()) {
        for (std::size_t b = 0; b < banks_of(result).size() && banks_of(result).size() > 1; ++b) {
            auto cells =
                row_begin(quantity, ", " + escaped(geometry::bank_words(banks_of(result)[b].name)));
            for (const auto& point : result.points) {
                const auto* bank = b < point.banks.size() ? &point.banks[b] : nullptr;
                cells.push_back(figure(quantity, bank, point.converged));
            }
            table.row(cells);
        }
    }
    return "<details><summary>Every figure of every point</summary>\n" +
           table.text("Every figure of every point") + "</details>\n";
}

}  // namespace plenair::html
