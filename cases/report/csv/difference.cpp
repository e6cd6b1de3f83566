#include "cases/report/difference.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/quantities.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>

namespace plenair {

namespace {

/// As people read it, without the last-bit noise of the conversion.
double in_unit(double value, const std::string& unit) {
    return unit == "1" || unit == "m/s" ? value : converted(value, unit.c_str());
}

}  // namespace

std::string csv_text(const DifferenceResult& result) {
    std::string text = csv_line({"side_text",
                                 "name",
                                 "point",
                                 "cylinder_number",
                                 "before",
                                 "after",
                                 "units_text",
                                 "change_percent",
                                 "band_percent",
                                 "inside_band_0_1",
                                 "before_digest",
                                 "after_digest",
                                 "version"});
    const auto tail = [&result](std::vector<std::string> cells) {
        cells.push_back(csv_cell(result.before_digest));
        cells.push_back(csv_cell(result.after_digest));
        cells.push_back(csv_cell(version()));
        return csv_line(cells);
    };
    for (const auto& input : result.inputs) {
        text += tail({"in",
                      csv_cell(input.key),
                      "",
                      "",
                      csv_cell(input.before),
                      csv_cell(input.after),
                      "",
                      "",
                      "",
                      ""});
    }
    for (const auto& output : result.outputs) {
        text += tail({"out",
                      csv_cell(output.name),
                      csv_cell(output.point),
                      output.cylinder > 0 ? fmt::format("{}", output.cylinder) : "",
                      csv_cell(in_unit(output.before, output.unit)),
                      csv_cell(in_unit(output.after, output.unit)),
                      csv_cell(output.unit),
                      csv_cell(percent(output.change)),
                      output.band > 0 ? csv_cell(percent(output.band)) : "",
                      output.band > 0 ? (output.inside_band() ? "1" : "0") : ""});
    }
    return text;
}

}  // namespace plenair
