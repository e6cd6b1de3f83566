#include "cases/store/read_sweep.hpp"

#include "cases/store/grid_reader.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"

#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

namespace plenair {

namespace {

using Values = std::vector<double>;

/// Inputs of all variants: the values of each, variant by variant.
std::vector<std::vector<InputValue>> read_inputs(const GridReader& file,
                                                 std::size_t count,
                                                 std::vector<SweepInput>& inputs) {
    std::vector<std::vector<InputValue>> all(count);
    for (const auto& name : file.names()) {
        if (!name.starts_with("input_")) continue;
        SweepInput input;
        input.key = file.text_attribute(name, "key");
        input.units = file.text_attribute(name, "units");
        input.numeric = file.is_number(name);
        const Values numbers = input.numeric ? file.doubles(name) : Values{};
        const auto texts = input.numeric ? std::vector<std::string>{} : file.strings(name);
        for (std::size_t v = 0; v < count; ++v) {
            all[v].push_back(input.numeric ? InputValue{numbers.at(v), ""}
                                           : InputValue{0, texts.at(v)});
        }
        inputs.push_back(std::move(input));
    }
    return all;
}

/// The numbers of a point that a page on a sweep needs.
struct Numbers {
    Values spread, source, throttle, slot, mouth, port, air;
    std::vector<int> converged;
    std::vector<std::string> failures;

    explicit Numbers(const GridReader& file)
        : spread(file.doubles("spread")),
          source(file.doubles("source_pressure")),
          throttle(file.doubles("throttle_loss")),
          slot(file.doubles("slot_loss")),
          mouth(file.doubles("mouth_loss")),
          port(file.has("port_loss") ? file.doubles("port_loss") : Values(spread.size(), 0.0)),
          air(file.doubles("air_flow")),
          converged(file.ints("converged")),
          failures(file.strings("failure")) {}

    [[nodiscard]] PointResult point(std::size_t row, const std::string& name) const {
        PointResult made;
        made.name = name;
        made.converged = converged.at(row) != 0;
        made.failure = failures.at(row);
        made.spread = spread.at(row);
        made.source_pressure = source.at(row);
        made.throttle_loss = throttle.at(row);
        made.slot_loss = slot.at(row);
        made.mouth_loss = mouth.at(row);
        made.port_loss = port.at(row);
        made.air_flow = air.at(row);
        return made;
    }
};

Overview read_variants(const GridReader& file) {
    Overview overview;
    overview.kind = "Sweep";
    overview.title = file.text_attribute("title");
    overview.case_digest = file.text_attribute("case_digest");
    overview.case_text = file.text_attribute("case_text");
    overview.points = file.strings("point_name");
    const auto failures = file.strings("variant_failure");
    auto inputs = read_inputs(file, failures.size(), overview.inputs);
    const Numbers numbers(file);
    const std::size_t width = overview.points.size();
    for (std::size_t v = 0; v < failures.size(); ++v) {
        OverviewVariant variant;
        if (failures[v].empty()) {
            std::vector<PointResult> points;
            for (std::size_t p = 0; p < width; ++p) {
                points.push_back(numbers.point(v * width + p, overview.points[p]));
            }
            variant = overview_of(points);
        }
        if (!failures[v].empty()) variant.failure = failures[v];
        variant.number = v + 1;
        variant.inputs = std::move(inputs[v]);
        overview.variants.push_back(std::move(variant));
    }
    mark_front(overview);
    return overview;
}

}  // namespace

std::string results_format(const std::string& path) {
    return GridReader(path).text_attribute("format");
}

Overview read_sweep(const std::string& path) {
    const GridReader file(path);
    const std::string format = file.text_attribute("format");
    if (format != "plenair.sweep") {
        throw ReadError(fmt::format(
            "{}: holds {}, not plenair.sweep; name a file written by sweep -o", path, format));
    }
    if (file.int_attribute("format_version") != results_format_version) {
        throw ReadError(
            fmt::format("{}: format version {} written by plenair {}; this program reads version "
                        "{}: sweep again",
                        path,
                        file.int_attribute("format_version"),
                        file.text_attribute("version"),
                        results_format_version));
    }
    try {
        return read_variants(file);
    } catch (const std::out_of_range&) {
        throw ReadError(fmt::format("{}: an array is shorter than its dimensions say", path));
    }
}

}  // namespace plenair
