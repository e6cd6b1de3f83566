// What a point costs, by Google Benchmark: one variant, and many side by side. Run by
// scripts/bench; method and results in docs/performance.md.
#include "cases/file/read.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/right_hand_side.hpp"

#include <benchmark/benchmark.h>

#include <string>
#include <thread>
#include <vector>

namespace {

using namespace plenair;

Case shipped(const std::string& name) {
    return read_case(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/" + name, {});
}

/// The last point of a case but one, or the last: the fast ones.
const OperatingPoint& top_point(const Case& c) {
    return c.points[c.points.size() > 3 ? 3 : c.points.size() - 1];
}

void right_hand_side(benchmark::State& state) {
    const Case c = shipped("hill-climb-four/case.toml");
    const OperatingPoint& point = top_point(c);
    Network n = build_engine(c.intake, c.engine, point, c.model);
    n.crank = make_crank_table(c.engine, point, 5e-5);
    const std::vector<double> s = initial_state(n);
    std::vector<double> rate(s.size());
    RightHandSide rhs(n);
    rhs.hold_wall_laws();
    rhs.begin_step(0, 0.0, n.crank.step.front());
    for ([[maybe_unused]] auto _ : state) {
        rhs(s, rate, 0.0);
        benchmark::DoNotOptimize(rate.data());
    }
    int cells = 0;
    for (const Chain& chain : n.chains) {
        cells += chain.count;
    }
    state.counters["ns_per_cell"] = benchmark::Counter(
        1e-9 * cells, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void one_point(benchmark::State& state, const std::string& name) {
    const Case c = shipped(name);
    int cycles = 0;
    for ([[maybe_unused]] auto _ : state) {
        cycles = solve_point(c.intake, c.engine, top_point(c), c.model, {}).cycles;
    }
    state.counters["cycles"] = cycles;
}

/// `count` slots around that of the case, or mouths where it has none.
std::vector<geometry::Intake> variants_of(const Case& c, std::size_t count) {
    std::vector<geometry::Intake> intakes(count, c.intake);
    for (std::size_t i = 0; i < count; ++i) {
        const double factor = 0.9 + 0.2 * static_cast<double>(i) / static_cast<double>(count - 1);
        for (auto& bank : intakes[i].banks) {
            for (auto& piece : bank.slot ? bank.slot->pieces : std::vector<geometry::SlotPiece>{}) {
                piece.width = geometry::Profile::constant(factor * piece.width.at(piece.x));
            }
        }
    }
    return intakes;
}

void many_points(benchmark::State& state,
                 const std::string& name,
                 Precision precision,
                 bool warm,
                 double tolerance,
                 Instructions instructions,
                 std::size_t count) {
    const Case c = shipped(name);
    const auto intakes = variants_of(c, count);
    Model model = c.model;
    model.tolerance = tolerance;
    std::vector<Variant> variants;
    for (const auto& intake : intakes) {
        variants.push_back({&intake, &model, &c.engine, &top_point(c)});
    }
    EnsembleOptions options;
    options.precision = precision;
    options.instructions = instructions;
    options.warm = warm;
    double cycles = 0;
    for ([[maybe_unused]] auto _ : state) {
        cycles = 0;
        for (const auto& r : solve_ensemble(variants, options)) {
            cycles += r.cycles;
        }
    }
    state.counters["points_per_second"] = benchmark::Counter(
        static_cast<double>(count), benchmark::Counter::kIsIterationInvariantRate);
    state.counters["cycles"] = cycles / static_cast<double>(count);
    state.counters["lanes"] = ensemble_width(precision, count, instructions).lanes;
}

/// The same variants, each by itself.
void one_by_one(benchmark::State& state, const std::string& name, double tolerance) {
    const Case c = shipped(name);
    constexpr std::size_t count = 16;
    const auto intakes = variants_of(c, count);
    Model model = c.model;
    model.tolerance = tolerance;
    CycleOptions options;
    options.min_cycles = 1;
    double cycles = 0;
    for ([[maybe_unused]] auto _ : state) {
        cycles = 0;
        for (const auto& intake : intakes) {
            cycles += solve_point(intake, c.engine, top_point(c), model, options).cycles;
        }
    }
    state.counters["points_per_second"] = benchmark::Counter(
        static_cast<double>(count), benchmark::Counter::kIsIterationInvariantRate);
    state.counters["cycles"] = cycles / static_cast<double>(count);
}

void add_many(const std::string& label, const std::string& file) {
    constexpr double sweep = 3e-5;
    const auto add = [&](const std::string& what,
                         Precision precision,
                         bool warm,
                         double tolerance,
                         Instructions instructions = Instructions::widest,
                         std::size_t count = 128) {
        benchmark::RegisterBenchmark(("many/" + label + "/" + what).c_str(),
                                     many_points,
                                     file,
                                     precision,
                                     warm,
                                     tolerance,
                                     instructions,
                                     count)
            ->Unit(benchmark::kMillisecond);
    };
    add("double_cold", Precision::float64, false, sweep);
    add("double_warm", Precision::float64, true, sweep);
    add("single_cold", Precision::float32, false, sweep);
    add("single_warm", Precision::float32, true, sweep);
    // To the tolerance of a single solve, for the ratio of lanes to one at a time.
    add("double_cold_1e-6", Precision::float64, false, 1e-6);
    add("double_cold_avx2", Precision::float64, false, sweep, Instructions::avx2);
    add("double_cold_portable", Precision::float64, false, sweep, Instructions::portable);
    // A long path: nearly all of it begins between two that are known.
    add("single_path", Precision::float32, true, sweep, Instructions::widest, 1024);
    benchmark::RegisterBenchmark(
        ("many/" + label + "/one_at_a_time").c_str(), one_by_one, file, sweep)
        ->Unit(benchmark::kMillisecond);
}

}  // namespace

int main(int argc, char** argv) {
    benchmark::RegisterBenchmark("right_hand_side", right_hand_side);
    for (const auto& [label, file] : std::vector<std::pair<std::string, std::string>>{
             {"hill-climb-four", "hill-climb-four/case.toml"},
             {"marine-six", "marine-six/two-chamber.toml"},
             {"v6-bank", "v6-bank/case.toml"}}) {
        benchmark::RegisterBenchmark(("one/" + label).c_str(), one_point, file)
            ->Unit(benchmark::kMillisecond);
        add_many(label, file);
    }
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    return 0;
}
