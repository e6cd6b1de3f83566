// Random engines by the product and by the second solver of the tests (tests/reference): how far
// air and biases lie apart. Prints a row an engine and a Markdown table. Measures, does not judge:
// run by scripts/random-engines.

#include "cases/file/read.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/quantile.hpp"
#include "tests/support/reference_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <exception>
#include <iostream>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace {

using Sets = std::vector<std::string>;

/// The engine of a seed: one of the three of the tests, moved in what designers move.
std::pair<std::string, Sets> drawn(unsigned seed) {
    std::mt19937 random(seed);
    const auto between = [&random](double low, double high) {
        return low + (high - low) * (static_cast<double>(random()) / 4294967296.0);
    };
    const std::array names{"one", "four", "five"};
    const std::string name = names.at(seed % names.size());
    Sets sets;
    const auto set = [&sets](const std::string& key, const std::string& value) {
        sets.push_back(key + "=" + value);
    };
    const double speed = between(1500, 12500);
    set("point.P.speed", fmt::format("{:.0f} rpm", speed));
    const double pressure = between(70, 220);
    set("point.P.pressure", fmt::format("{:.1f} kPa abs", pressure));
    set("point.P.exhaust_pressure", fmt::format("{:.1f} kPa abs", pressure * between(0.85, 1.25)));
    set("point.P.temperature", fmt::format("{:.0f} K", between(270, 350)));
    set("engine.stroke", fmt::format("{:.1f} mm", between(60, std::min(95.0, 720000.0 / speed))));
    set("engine.compression_ratio", fmt::format("{:.2f}", between(8.5, 13)));
    set("valve.intake.opens", fmt::format("{:.0f} deg BTDC", between(0, 40)));
    set("valve.intake.closes", fmt::format("{:.0f} deg ABDC", between(30, 75)));
    set("valve.intake.lift", fmt::format("{:.2f} mm", between(7, 11)));
    set("valve.exhaust.closes", fmt::format("{:.0f} deg ATDC", between(5, 40)));
    set("runner.length", fmt::format("{:.0f} mm", between(110, 380)));
    set("runner.bell_radius", fmt::format("{:.1f} mm", between(1, 12)));
    set("plenum.area", fmt::format("{:.0f} mm2", between(3500, 9500)));
    if (name != "one") {
        set("slot.width", fmt::format("{:.2f} mm", between(3, 10)));
    }
    if (between(0, 1) < 0.25) {
        set("combustion.motored", "on");
    }
    return {name, sets};
}

struct Row {
    unsigned seed = 0;
    std::string engine;
    double speed = 0, bias = 0, air = 0;
};

std::optional<Row> compared(unsigned seed) {
    auto [name, sets] = drawn(seed);
    sets.emplace_back("model.cells=largest cell 8 mm");
    sets.emplace_back("model.max_cycles=400");  // one cylinder on fine cells forgets slowly
    const plenair::Case c =
        plenair::parse_case(plenair::test::reference_engine_text(name), name + ".toml", sets);
    const plenair::OperatingPoint& point = c.points.front();
    const auto ours = plenair::solve_point(c.intake, c.engine, point, c.model, {});
    plenair::reference::ReferenceOptions options;
    options.runner_cell = options.chamber_cell = 0.006;
    options.most_cycles = 400;
    const auto theirs =
        plenair::reference::solve_reference(plenair::test::reference_spec(c, point), options);
    if (!ours.converged || !theirs.repeats) {
        std::cerr << seed << " " << name << ": "
                  << (ours.converged ? "the second solver does not repeat" : ours.failure) << "\n";
        return std::nullopt;
    }
    Row row{seed, name, point.speed, 0, 0};
    double air = 0;
    const auto bias = theirs.bias();
    for (std::size_t i = 0; i < bias.size(); ++i) {
        air += ours.cylinders[i].air_delivered;
        row.bias = std::max(row.bias, std::abs(ours.cylinders[i].bias - bias[i]));
    }
    row.air = std::abs(air / theirs.air() - 1);
    std::string said;
    for (const auto& each : sets) {
        said += " --set '" + each + "'";
    }
    std::cerr << fmt::format(
        "{} {} bias {:.3f} air {:.3f} %{}\n", seed, name, 100 * row.bias, 100 * row.air, said);
    return row;
}

}  // namespace

int main(int count, char** values) {
    if (count != 3) {
        std::cerr << "second_solver ENGINES FIRST_SEED\n";
        return 2;
    }
    const auto engines = static_cast<unsigned>(std::strtoul(values[1], nullptr, 10));
    const auto first = static_cast<unsigned>(std::strtoul(values[2], nullptr, 10));
    std::vector<double> bias, air;
    for (unsigned seed = first; seed < first + engines; ++seed) {
        try {
            if (const auto row = compared(seed)) {
                bias.push_back(100 * row->bias);
                air.push_back(100 * row->air);
            }
        } catch (const std::exception& fault) {
            std::cerr << seed << ": " << fault.what() << "\n";
        }
    }
    if (bias.empty()) {
        return 1;
    }
    std::cout << fmt::format(
        "| engines | with both results | % | median | 90 % | most |\n"
        "| --- | --- | --- | --- | --- | --- |\n"
        "| {0} | {1} | bias | {2:.3f} | {3:.3f} | {4:.3f} |\n"
        "| {0} | {1} | air | {5:.3f} | {6:.3f} | {7:.3f} |\n",
        engines,
        bias.size(),
        plenair::test::quantile(bias, 0.5),
        plenair::test::quantile(bias, 0.9),
        plenair::test::quantile(bias, 1),
        plenair::test::quantile(air, 0.5),
        plenair::test::quantile(air, 0.9),
        plenair::test::quantile(air, 1));
    return 0;
}
