#include "cases/store/sweep_results.hpp"

#include "cases/store/fields.hpp"
#include "cases/store/root.hpp"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

namespace plenair {

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
using Element = GridWriter::Element;

int status_of(const VariantRecord& record) {
    if (!record.failure.empty()) {
        return 2;
    }
    const bool converged = std::all_of(record.points.begin(),
                                       record.points.end(),
                                       [](const auto& point) { return point.converged; });
    return converged ? 0 : 1;
}

/// Of the file without its texts.
std::size_t expected_bytes(const SweepInfo& info) {
    constexpr std::size_t number = 8, text = 32, frame = 1 << 17;
    const std::size_t point = number * (point_quantities().size() + 1) + 2 * text +
                              number * cylinder_quantities().size() * info.cylinders.size();
    const std::size_t variant = info.points.size() * point + (info.inputs.size() + 3) * text;
    return info.count * variant + info.case_text.size() + frame;
}

}  // namespace

std::string input_dataset(const SweepInput& input) {
    return "input_" + dataset_name(input.key);
}

SweepResultsWriter::SweepResultsWriter(const std::string& path,
                                       const SweepInfo& info,
                                       std::size_t text_bytes)
    : file_(path, expected_bytes(info) + text_bytes), info_(info) {
    write_root(file_, {"plenair.sweep", info.title, info.case_digest, info.case_text});
    file_.attribute("sweep_digest", info.digest);
    file_.attribute("method", info.method);
    file_.attribute("precision", info.precision);
    file_.attribute("tolerance", fmt::format("{}", info.tolerance));
    declare();
}

void SweepResultsWriter::declare() {
    std::vector<int> numbers(info_.points.size());
    for (std::size_t p = 0; p < numbers.size(); ++p) numbers[p] = static_cast<int>(p) + 1;
    file_.declare_dimension({"variant", "1", "variant, counted from 1"}, info_.count);
    file_.dimension({"point", "1", "operating point, counted from 1"}, numbers);
    file_.dimension({"cylinder", "1", "cylinder number"}, info_.cylinders);
    file_.variable({"point_name", "1", "name of the operating point"}, {"point"}, info_.points);
    file_.variable({"firing_position", "1", "place in the firing order, from 1"},
                   {"cylinder"},
                   info_.firing_positions);
    for (const auto& input : info_.inputs) {
        const std::string name = input_dataset(input);
        file_.declare({name, input.numeric ? input.units : "1", input.key},
                      {"variant"},
                      input.numeric ? Element::number : Element::text);
        file_.attribute(name, "key", input.key);
    }
    file_.declare({"status", "1", "0 complete, 1 a point did not converge, 2 could not be built"},
                  {"variant"},
                  Element::integer);
    file_.declare(
        {"variant_failure", "1", "why the variant has no points"}, {"variant"}, Element::text);
    const GridWriter::Dimensions points{"variant", "point"};
    file_.declare({"converged", "1", "1 converged, 0 not a result"}, points, Element::integer);
    file_.declare({"failure", "1", "why the point did not converge"}, points, Element::text);
    file_.declare({"notes", "1", "warnings, one a line"}, points, Element::text);
    file_.declare({"cycles", "1", "engine cycles computed"}, points, Element::integer);
    for (const auto& quantity : point_quantities())
        file_.declare(label_of(quantity), points, Element::number);
    for (const auto& quantity : cylinder_quantities()) {
        file_.declare(label_of(quantity), {"variant", "point", "cylinder"}, Element::number);
    }
}

void SweepResultsWriter::add(const std::vector<VariantRecord>& records) {
    add_inputs(records);
    add_points(records);
    add_cylinders(records);
    next_ += records.size();
}

void SweepResultsWriter::add_inputs(const std::vector<VariantRecord>& records) {
    std::vector<int> numbers, status;
    std::vector<std::string> failures;
    for (const auto& record : records) {
        numbers.push_back(static_cast<int>(next_ + numbers.size()) + 1);
        status.push_back(status_of(record));
        failures.push_back(record.failure);
    }
    file_.write_rows("variant", next_, numbers);
    for (std::size_t i = 0; i < info_.inputs.size(); ++i) {
        std::vector<double> values;
        std::vector<std::string> texts;
        for (const auto& record : records) {
            values.push_back(record.inputs.at(i).number);
            texts.push_back(record.inputs.at(i).text);
        }
        const std::string name = input_dataset(info_.inputs[i]);
        if (info_.inputs[i].numeric) {
            file_.write_rows(name, next_, values);
        } else {
            file_.write_rows(name, next_, texts);
        }
    }
    file_.write_rows("status", next_, status);
    file_.write_rows("variant_failure", next_, failures);
}

void SweepResultsWriter::add_points(const std::vector<VariantRecord>& records) {
    const std::size_t width = info_.points.size();
    std::vector<int> converged(records.size() * width, 0), cycles = converged;
    std::vector<std::string> failures(converged.size()), notes = failures;
    for (std::size_t v = 0; v < records.size(); ++v) {
        for (std::size_t p = 0; p < records[v].points.size(); ++p) {
            const auto& point = records[v].points[p];
            const std::size_t row = v * width + p;
            converged[row] = point.converged ? 1 : 0;
            cycles[row] = point.cycles;
            failures[row] = point.failure;
            notes[row] = joined_lines(point.notes);
        }
    }
    file_.write_rows("converged", next_, converged);
    file_.write_rows("failure", next_, failures);
    file_.write_rows("notes", next_, notes);
    file_.write_rows("cycles", next_, cycles);
    for (const auto& quantity : point_quantities()) {
        std::vector<double> values(converged.size(), nothing);
        for (std::size_t v = 0; v < records.size(); ++v) {
            for (std::size_t p = 0; p < records[v].points.size(); ++p) {
                const auto& point = records[v].points[p];
                values[v * width + p] = quantity.stored(point.*quantity.member, point.converged);
            }
        }
        file_.write_rows(quantity.name, next_, values);
    }
}

void SweepResultsWriter::add_cylinders(const std::vector<VariantRecord>& records) {
    const auto& numbers = info_.cylinders;
    const std::size_t width = info_.points.size() * numbers.size();
    for (const auto& quantity : cylinder_quantities()) {
        std::vector<double> values(records.size() * width, nothing);
        for (std::size_t v = 0; v < records.size(); ++v) {
            for (std::size_t p = 0; p < records[v].points.size(); ++p) {
                const auto& point = records[v].points[p];
                for (const auto& c : point.cylinders) {
                    const auto place = std::find(numbers.begin(), numbers.end(), c.cylinder);
                    if (place == numbers.end()) continue;
                    const auto column = static_cast<std::size_t>(place - numbers.begin());
                    values[v * width + p * numbers.size() + column] =
                        quantity.stored(c.*quantity.member, point.converged);
                }
            }
        }
        file_.write_rows(quantity.name, next_, values);
    }
}

}  // namespace plenair
