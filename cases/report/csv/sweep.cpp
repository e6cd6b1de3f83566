#include "cases/report/sweep.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/quantities.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>

namespace plenair {

namespace {

template <class Result>
std::string cell(const Quantity<Result>& quantity, const Result& result, bool converged) {
    const double value = result.*quantity.member;
    return quantity.shows(converged, value) ? csv_cell(quantity.to_csv(value)) : "";
}

/// A sweep computes no bands, and no variant without its slot beside it.
template <class Use>
void for_each_quantity(bool conditions, Use use) {
    for (const auto& quantity : point_quantities()) {
        const bool condition = quantity.line == Line::condition;
        const bool beside =
            quantity.shown == Shown::with_band || quantity.shown == Shown::with_no_slot;
        if (condition == conditions && !beside) use(quantity);
    }
}

/// "slot.width_mm"; a number without unit "_number", a text "_text".
std::string input_column(const SweepInput& input) {
    std::string unit = input.numeric ? input.shown_unit : "text";
    if (unit.empty()) unit = "number";
    for (char& sign : unit) {
        const auto code = static_cast<unsigned char>(sign);
        sign = std::isalnum(code) != 0 ? static_cast<char>(std::tolower(code)) : '_';
    }
    return fmt::format("{}_{}", input.key, unit);
}

std::string input_cell(const SweepInput& input, const InputValue& value) {
    if (!input.numeric) return csv_cell(value.text);
    return csv_cell(input.shown_unit.empty() ? value.number
                                             : converted(value.number, input.shown_unit.c_str()));
}

const char* status(const VariantRecord& record, std::size_t point) {
    if (!record.failure.empty()) return "failed";
    return record.points[point].converged ? "complete" : "not converged";
}

void add_numbers(std::vector<std::string>& cells, const PointResult& point, const SweepInfo& info) {
    const auto add = [&](const auto& quantity) {
        cells.push_back(cell(quantity, point, point.converged));
    };
    for_each_quantity(true, add);
    cells.push_back(fmt::format("{}", point.cycles));
    for_each_quantity(false, add);
    cells.push_back(csv_cell(joined_notes(point)));
    for (const int number : info.cylinders) {
        const auto found = std::find_if(point.cylinders.begin(),
                                        point.cylinders.end(),
                                        [&](const auto& c) { return c.cylinder == number; });
        for (const auto& quantity : cylinder_quantities()) {
            const bool known = found != point.cylinders.end();
            cells.push_back(known ? cell(quantity, *found, point.converged) : "");
        }
    }
}

std::vector<std::string> number_names(const SweepInfo& info) {
    std::vector<std::string> names;
    const auto add = [&names](const auto& quantity) { names.emplace_back(quantity.csv); };
    for_each_quantity(true, add);
    names.emplace_back("cycles_count");
    for_each_quantity(false, add);
    names.emplace_back("notes_text");
    for (const int cylinder : info.cylinders) {
        for (const auto& quantity : cylinder_quantities()) {
            names.push_back(fmt::format("cylinder_{}_{}", cylinder, quantity.csv));
        }
    }
    return names;
}

}  // namespace

std::string sweep_csv_header(const SweepInfo& info) {
    std::vector<std::string> names{"variant_number"};
    for (const auto& input : info.inputs) names.push_back(csv_cell(input_column(input)));
    for (const char* name : {"point", "status_text", "reason_text"}) names.emplace_back(name);
    for (auto& name : number_names(info)) names.push_back(std::move(name));
    for (const char* name : {"case_digest", "sweep_digest", "version"}) names.emplace_back(name);
    return fmt::format("{}\n", fmt::join(names, ","));
}

std::string sweep_csv_rows(const SweepInfo& info,
                           std::size_t first,
                           const std::vector<VariantRecord>& records) {
    std::string text;
    const std::size_t numbers = number_names(info).size();
    for (const auto& record : records) {
        ++first;
        for (std::size_t p = 0; p < info.points.size(); ++p) {
            std::vector<std::string> cells{fmt::format("{}", first)};
            for (std::size_t i = 0; i < info.inputs.size(); ++i) {
                cells.push_back(input_cell(info.inputs[i], record.inputs[i]));
            }
            const bool failed = !record.failure.empty();
            cells.push_back(csv_cell(info.points[p]));
            cells.emplace_back(status(record, p));
            cells.push_back(csv_cell(failed ? record.failure : record.points[p].failure));
            if (failed) {
                cells.resize(cells.size() + numbers);
            } else {
                add_numbers(cells, record.points[p], info);
            }
            cells.push_back(csv_cell(info.case_digest));
            cells.push_back(csv_cell(info.digest));
            cells.emplace_back(version());
            text += fmt::format("{}\n", fmt::join(cells, ","));
        }
    }
    return text;
}

}  // namespace plenair
