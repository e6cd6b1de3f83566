// How honest fits are: made-up experiments whose truth is known. Measures, does not judge: run by
// scripts/validate-learning. Usage: plenair_learning CASE EXPERIMENTS SEED [FAULT], prints JSON.

#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/fit_readings.hpp"
#include "cases/study/parallel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <mutex>
#include <random>
#include <string>
#include <vector>

namespace {

using namespace plenair;
using Eigen::Index;
using study::Quirk;

constexpr double normal95 = 1.96;
constexpr double lambda_half = 0.006;
constexpr double bench_half = 0.01;

/// What is read in every experiment: each bench set-up of the case that needs no single runner, and
/// lambda and air flow at every point. The values are placeholders.
Measured plan_of(const Case& c) {
    Measured m;
    m.path = "made up";
    for (const auto& settings : c.bench) {
        if (settings.set_up == BenchSetUp::runners) {
            continue;
        }
        BenchReading b;
        b.name = settings.set_up == BenchSetUp::slot ? "slot" : "all open";
        b.set_up = settings.set_up;
        b.depression = settings.depression;
        b.barometer = settings.pressure;
        b.temperature = settings.temperature;
        b.gas_constant = settings.gas_constant.value_or(287.05);
        b.density = b.barometer / (b.gas_constant * b.temperature);
        b.flow_read = 1;
        b.uncertainty = bench_half;
        m.bench.push_back(b);
    }
    for (std::size_t p = 0; c.has_engine && p < c.points.size(); ++p) {
        EngineReading e;
        const auto n = static_cast<std::size_t>(c.engine.cylinder_count());
        e.point = p;
        e.name = c.points[p].name;
        e.lambda.assign(n, 0.8);
        e.lambda_uncertainty = lambda_half;
        e.trims.assign(n, 0.0);
        e.air_flow = 1;
        e.air_flow_uncertainty = 0.02;
        m.engine.push_back(e);
    }
    return m;
}

/// Normal numbers from mt19937_64 by Box and Muller, so that every library draws the same.
class Draws final {
public:
    explicit Draws(std::uint64_t seed) : engine_(seed) {}
    double operator()() {
        const double u = (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53;
        const double v = (static_cast<double>(engine_() >> 11) + 0.5) * 0x1p-53;
        return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * M_PI * v);
    }

private:
    std::mt19937_64 engine_;
};

struct Score {
    int held = 0, all = 0;
    void add(double truth, double value, double half) {
        ++all;
        held += std::abs(truth - value) <= half ? 1 : 0;
    }
};

struct Totals {
    std::map<std::string, Score> entries;
    Score shares;
    int failed = 0, right = 0, wrong = 0, none = 0;
};

void set_values(Measured& m, const study::ReadingModel& model, const Eigen::VectorXd& values) {
    for (std::size_t k = 0; k < model.readings().size(); ++k) {
        const auto& r = model.readings()[k];
        const double value = values[static_cast<Index>(k)];
        if (r.kind == study::ReadingKind::bench) {
            m.bench[r.index].flow_read = value;
        } else if (r.kind == study::ReadingKind::lambda) {
            m.engine[r.index].lambda[r.cylinder] = value;
        } else {
            m.engine[r.index].air_flow = value;
        }
    }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 4) {
        fmt::print(
            stderr,
            "usage: plenair_learning CASE EXPERIMENTS SEED [none|injector|sensor|runner|leak]\n");
        return 2;
    }
    const Case c = read_case(argv[1], {"model.tolerance=1e-5"});
    const int count = std::stoi(argv[2]);
    const auto seed = static_cast<std::uint64_t>(std::stoull(argv[3]));
    const std::string fault = argc > 4 ? argv[4] : "none";
    const Measured plan = plan_of(c);
    const study::AsMade made = study::as_made(c, plan);
    study::FitModel model(made, plan, 0);
    std::vector<std::size_t> points;
    std::vector<std::vector<std::vector<double>>> signatures;
    for (const auto& e : plan.engine) {
        points.push_back(e.point);
        signatures.push_back(model.runner_signature(e.point));
    }
    const study::ReadingModel readings(made, plan, signatures);
    const auto& unknowns = readings.unknowns();
    const auto entries = static_cast<Index>(made.entries.size());
    // The truths of all experiments first: they run side by side.
    Eigen::MatrixXd truths(unknowns.count(), count);
    std::vector<Draws> noise;
    for (int k = 0; k < count; ++k) {
        Draws draw(seed + static_cast<std::uint64_t>(k));
        for (Index i = 0; i < unknowns.count(); ++i) {
            truths(i, k) = readings.prior()[i] + readings.deviation()[i] * draw();
            if (i < entries) {
                const auto& e = made.entries[static_cast<std::size_t>(i)];
                truths(i, k) = std::clamp(truths(i, k), e.least, e.most);
            }
        }
        const auto cylinder =
            static_cast<std::size_t>(k) % std::max<std::size_t>(unknowns.cylinders, 1);
        // Twice the noise: of one lambda reading, relative.
        const double size = 2.0 * lambda_half / 0.8;
        const double sign = k % 2 == 0 ? 1.0 : -1.0;
        if (fault == "injector") {
            truths(unknowns.quirk(Quirk::injector, cylinder), k) = sign * size;
        } else if (fault == "sensor") {
            truths(unknowns.quirk(Quirk::sensor, cylinder), k) = sign * 2.0 * lambda_half;
        } else if (fault == "runner") {
            truths(unknowns.quirk(Quirk::runner, cylinder), k) = -size;
        } else if (fault == "leak") {
            truths(unknowns.quirk(Quirk::leak, cylinder), k) = size;
        }
        noise.push_back(draw);
    }
    const auto answers = model.evaluate(truths.topRows(entries), points);
    Totals totals;
    std::mutex mutex;
    study::for_each_job(static_cast<std::size_t>(count), 0, [&](std::size_t k) {
        const auto column = static_cast<Index>(k);
        const Eigen::VectorXd truth = truths.col(column);
        const auto& answer = answers[k];
        FitResult result;
        if (answer.good) {
            Eigen::VectorXd values = readings.predict(truth, answer);
            for (Index i = 0; i < values.size(); ++i) {
                // The deviation of a relative reading is that of its own value.
                const auto& r = readings.readings()[static_cast<std::size_t>(i)];
                const bool relative = r.kind != study::ReadingKind::lambda;
                values[i] +=
                    noise[k]() * (relative ? r.deviation * values[i] / r.value : r.deviation);
            }
            Measured m = plan;
            set_values(m, readings, values);
            FitOptions options;
            options.threads = 1;
            result = fit(c, m, options);
        }
        const std::lock_guard lock(mutex);
        if (!result.converged) {
            ++totals.failed;
            return;
        }
        for (std::size_t i = 0; i < result.entries.size(); ++i) {
            totals.entries[result.entries[i].key].add(truth[static_cast<Index>(i)],
                                                      result.entries[i].after,
                                                      result.entries[i].after_half);
        }
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (std::size_t cyl = 0; cyl < unknowns.cylinders; ++cyl) {
                totals.shares.add(readings.air(truth, answer, p, cyl),
                                  result.air[p].after[cyl],
                                  result.air[p].after_half[cyl]);
            }
        }
        const auto named = std::find_if(
            result.faults.begin(), result.faults.end(), [](const Fault& f) { return f.named; });
        if (named == result.faults.end()) {
            ++totals.none;
            return;
        }
        const auto kinds = std::map<std::string, FaultKind>{{"injector", FaultKind::injector},
                                                            {"sensor", FaultKind::sensor},
                                                            {"runner", FaultKind::runner},
                                                            {"leak", FaultKind::leak}};
        const bool right = fault != "none" && named->kind == kinds.at(fault) &&
                           named->cylinder == static_cast<int>(k % unknowns.cylinders) + 1;
        ++(right ? totals.right : totals.wrong);
    });
    fmt::print(
        "{{\"case\": \"{}\", \"experiments\": {}, \"fault\": \"{}\", \"failed\": {}, "
        "\"named_right\": {}, \"named_wrong\": {}, \"named_none\": {}, \"shares\": [{}, {}], "
        "\"entries\": {{",
        c.title,
        count,
        fault,
        totals.failed,
        totals.right,
        totals.wrong,
        totals.none,
        totals.shares.held,
        totals.shares.all);
    std::string comma;
    for (const auto& [key, score] : totals.entries) {
        fmt::print("{}\"{}\": [{}, {}]", comma, key, score.held, score.all);
        comma = ", ";
    }
    fmt::print("}}}}\n");
    return 0;
}
