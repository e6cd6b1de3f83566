// How honest fits are: made-up experiments whose truth is known. Measures, does not judge: run by
// scripts/validate-learning. Usage: plenair_learning CASE EXPERIMENTS SEED STUDY..., a study being
// PLAN:FAULT; prints one line of JSON a study.

#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/fit_readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <map>
#include <random>
#include <string>
#include <vector>

namespace {

using namespace plenair;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using study::Quirk;

constexpr double lambda_half = 0.006;
constexpr double bench_half = 0.01;
constexpr double small_miss = 0.1;
constexpr int enough_benches = 50;

std::size_t cylinders_of(const Case& c) {
    return c.has_engine ? static_cast<std::size_t>(c.engine.cylinder_count()) : 0;
}

/// What is read in every experiment: each bench set-up of the case that needs no single runner, and
/// lambda and air flow at every point; as often as there are cylinders where the sensors are moved
/// on by one cylinder each time. Each experiment puts in what it reads.
Measured plan_of(const Case& c, bool moved_sensors) {
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
    const std::size_t n = cylinders_of(c);
    for (std::size_t turn = 0; turn < (moved_sensors ? n : std::min<std::size_t>(n, 1)); ++turn) {
        for (std::size_t p = 0; p < c.points.size(); ++p) {
            EngineReading e;
            e.point = p;
            e.name = c.points[p].name;
            e.lambda.assign(n, 0.8);
            e.lambda_uncertainty = lambda_half;
            e.trims.assign(n, 0.0);
            for (std::size_t k = 0; turn > 0 && k < n; ++k) {
                e.sensor_order.push_back((k + turn) % n);
            }
            if (turn == 0) {
                e.air_flow = 1;
                e.air_flow_uncertainty = 0.02;
            }
            m.engine.push_back(e);
        }
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
    int asked = 0;  ///< not named right, but what to measure next is to exchange the sensors
};

void set_values(Measured& m, const study::ReadingModel& model, const VectorXd& values) {
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

const std::map<std::string, std::pair<FaultKind, Quirk>>& kinds() {
    static const std::map<std::string, std::pair<FaultKind, Quirk>> all{
        {"injector", {FaultKind::injector, Quirk::injector}},
        {"sensor", {FaultKind::sensor, Quirk::sensor}},
        {"runner", {FaultKind::runner, Quirk::runner}},
        {"leak", {FaultKind::leak, Quirk::leak}}};
    return all;
}

/// The made-up experiments of one case: their truths are solved once for all plans and faults, and
/// what fits have solved is kept.
class Experiments final {
public:
    Experiments(const Case& c, int count, std::uint64_t seed)
        : c_(c),
          count_(count),
          seed_(seed),
          bench_(plan_of(c, false)),
          made_(study::as_made(c, bench_)),
          model_(made_, bench_, 1) {
        const auto entries = static_cast<Index>(made_.entries.size());
        truths_.resize(entries, count);
        for (int k = 0; k < count; ++k) {
            Draws draw(seed + static_cast<std::uint64_t>(k));
            for (Index i = 0; i < entries; ++i) {
                const auto& e = made_.entries[static_cast<std::size_t>(i)];
                truths_(i, k) = std::clamp(e.value + e.deviation() * draw(), e.least, e.most);
            }
        }
        const auto* near = &model_.expansion(model_.values_as_made());
        // A bench costs most. Where its expansion errs by far less than the readings, as the first
        // truths show, it stands for the solution from there on, in truths and in fits.
        const int first = std::min(count, enough_benches);
        const auto solve = [&](int begin, int end) {
            const auto more = model_.solve(truths_.middleCols(begin, end - begin),
                                           {static_cast<std::size_t>(end - begin), near});
            answers_.insert(answers_.end(), more.begin(), more.end());
        };
        solve(0, first);
        double sum = 0;
        double all = 0;
        for (int k = 0; k < first; ++k) {
            const auto& solved = answers_[static_cast<std::size_t>(k)].bench;
            const auto expanded = near->at(truths_.col(k), {}).bench;
            for (std::size_t i = 0; i < solved.size(); ++i) {
                const double off = (expanded[i] / solved[i] - 1) / (bench_half / normal95);
                if (std::isfinite(off)) {
                    sum += off * off;
                    all += 1;
                }
            }
        }
        bench_miss_ = all > 0 ? std::sqrt(sum / all) : 0;
        if (bench_miss_ < small_miss) {
            model_.trust_bench();
        }
        solve(first, count);
        for (std::size_t p = 0; c.has_engine && p < c.points.size(); ++p) {
            points_.push_back(p);
        }
    }

    /// By how many of its deviations the expansion missed a bench reading at a truth, root mean
    /// square.
    [[nodiscard]] double bench_miss() const { return bench_miss_; }

    Totals run(bool moved_sensors, const std::string& fault) {
        const Measured plan = plan_of(c_, moved_sensors);
        std::vector<study::PointEffects> effects;
        for (std::size_t p = 0; !plan.engine.empty() && p < c_.points.size(); ++p) {
            effects.push_back(model_.effects(p));
        }
        const study::ReadingModel readings(made_, plan, effects);
        acts_.clear();
        for (const std::size_t p : points_) {
            acts_.push_back(readings.acts(p, model_.effects(p)));
        }
        Totals totals;
        std::vector<int> numbers;
        std::vector<VectorXd> truths;
        std::vector<Measured> measured;
        for (int k = 0; k < count_; ++k) {
            const auto& answer = answers_[static_cast<std::size_t>(k)];
            if (!answer.missing(points_).empty()) {
                ++totals.failed;
                continue;
            }
            // Far from the seeds of the entries.
            Draws draw(seed_ + 1000000 + static_cast<std::uint64_t>(k));
            numbers.push_back(k);
            truths.push_back(truth_of(k, readings, fault, draw));
            measured.push_back(read_at(truths.back(), answer, plan, readings, draw));
        }
        FitOptions options;
        options.threads = 1;
        const auto results = fit_all(c_, measured, options, model_);
        for (std::size_t i = 0; i < results.size(); ++i) {
            if (results[i].converged) {
                score(numbers[i], truths[i], readings, results[i], totals);
                score(numbers[i], results[i], fault, totals);
            } else {
                ++totals.failed;
            }
        }
        return totals;
    }

private:
    /// The truth of everything: entries as solved, cylinders as drawn, one of them with the fault.
    [[nodiscard]] VectorXd truth_of(int k,
                                    const study::ReadingModel& readings,
                                    const std::string& fault,
                                    Draws& draw) const {
        const auto& unknowns = readings.unknowns();
        VectorXd truth(unknowns.count());
        for (Index i = 0; i < unknowns.count(); ++i) {
            truth[i] = i < truths_.rows() ? truths_(i, k)
                                          : readings.prior()[i] + readings.deviation()[i] * draw();
        }
        if (fault == "none") {
            return truth;
        }
        // In the mean of the points its effect is twice the noise of one reading of lambda.
        const auto [kind, quirk] = kinds().at(fault);
        double acts = 1;
        if (kind == FaultKind::leak || kind == FaultKind::runner) {
            const std::size_t r = cylinder_of(k);
            acts = 0;
            for (const auto& at : acts_) {
                acts += std::abs(kind == FaultKind::leak ? at.leak : at.runner[r][r]) /
                        static_cast<double>(acts_.size());
            }
        }
        const double size = 2 * (kind == FaultKind::sensor ? lambda_half : lambda_half / 0.8);
        const double sign = kind == FaultKind::runner ? -1
                            : kind == FaultKind::leak ? 1
                            : k % 2 == 0              ? 1
                                                      : -1;
        truth[unknowns.quirk(quirk, cylinder_of(k))] = sign * size / acts;
        return truth;
    }

    [[nodiscard]] std::size_t cylinder_of(int k) const {
        return static_cast<std::size_t>(k) % std::max<std::size_t>(cylinders_of(c_), 1);
    }

    /// The readings of an experiment, with noise.
    static Measured read_at(const VectorXd& truth,
                            const study::Answer& answer,
                            const Measured& plan,
                            const study::ReadingModel& readings,
                            Draws& draw) {
        VectorXd values = readings.predict(truth, answer);
        for (Index i = 0; i < values.size(); ++i) {
            // The deviation of a relative reading is that of its own value.
            const auto& r = readings.readings()[static_cast<std::size_t>(i)];
            const bool relative = r.kind != study::ReadingKind::lambda;
            values[i] += draw() * (relative ? r.deviation * values[i] / r.value : r.deviation);
        }
        Measured m = plan;
        set_values(m, readings, values);
        return m;
    }

    void score(int k,
               const VectorXd& truth,
               const study::ReadingModel& readings,
               const FitResult& result,
               Totals& totals) const {
        for (std::size_t i = 0; i < result.entries.size(); ++i) {
            totals.entries[result.entries[i].key].add(truth[static_cast<Index>(i)],
                                                      result.entries[i].after,
                                                      result.entries[i].after_half);
        }
        for (std::size_t p = 0; p < result.air.size(); ++p) {
            for (std::size_t cyl = 0; cyl < cylinders_of(c_); ++cyl) {
                totals.shares.add(
                    readings.air(truth, answers_[static_cast<std::size_t>(k)], p, cyl),
                    result.air[p].after[cyl],
                    result.air[p].after_half[cyl]);
            }
        }
    }

    void score(int k, const FitResult& result, const std::string& fault, Totals& totals) const {
        const auto named = std::find_if(
            result.faults.begin(), result.faults.end(), [](const Fault& f) { return f.named; });
        const bool any = named != result.faults.end();
        const bool right = any && fault != "none" && named->kind == kinds().at(fault).first &&
                           named->cylinder == static_cast<int>(cylinder_of(k)) + 1;
        ++(right ? totals.right : any ? totals.wrong : totals.none);
        const bool exchange =
            !result.next.empty() && result.next.front().what.find("exchanged") != std::string::npos;
        totals.asked += !right && exchange ? 1 : 0;
    }

    const Case& c_;
    int count_;
    std::uint64_t seed_;
    Measured bench_;
    study::AsMade made_;
    study::FitModel model_;
    MatrixXd truths_;
    std::vector<study::Answer> answers_;
    std::vector<std::size_t> points_;
    double bench_miss_ = 0;
    std::vector<study::QuirkActs> acts_;  ///< by point
};

void print(const std::string& study, int count, double bench_miss, const Totals& totals) {
    fmt::print(
        "{{\"study\": \"{}\", \"experiments\": {}, \"failed\": {}, \"named_right\": {}, "
        "\"named_wrong\": {}, \"named_none\": {}, \"asked\": {}, \"bench_miss\": {:.3f}, "
        "\"shares\": [{}, {}], "
        "\"entries\": {{",
        study,
        count,
        totals.failed,
        totals.right,
        totals.wrong,
        totals.none,
        totals.asked,
        bench_miss,
        totals.shares.held,
        totals.shares.all);
    std::string comma;
    for (const auto& [key, score] : totals.entries) {
        fmt::print("{}\"{}\": [{}, {}]", comma, key, score.held, score.all);
        comma = ", ";
    }
    fmt::print("}}}}\n");
    std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 5) {
        fmt::print(stderr,
                   "usage: plenair_learning CASE EXPERIMENTS SEED STUDY...; a study is "
                   "once|moved:none|injector|sensor|runner|leak\n");
        return 2;
    }
    const Case c = read_case(argv[1], {});
    const int count = std::stoi(argv[2]);
    Experiments experiments(c, count, static_cast<std::uint64_t>(std::stoull(argv[3])));
    fmt::print(stderr,
               "{} truths: the expansion missed a bench reading by {:.3f} deviations (root mean "
               "square), {:.0f} s "
               "of a processor so far\n",
               count,
               experiments.bench_miss(),
               static_cast<double>(std::clock()) / CLOCKS_PER_SEC);
    for (int i = 4; i < argc; ++i) {
        const std::string study = argv[i];
        const auto colon = study.find(':');
        const auto totals =
            experiments.run(study.substr(0, colon) == "moved", study.substr(colon + 1));
        print(study, count, experiments.bench_miss(), totals);
        fmt::print(stderr,
                   "{}: {:.0f} s of a processor so far\n",
                   study,
                   static_cast<double>(std::clock()) / CLOCKS_PER_SEC);
    }
    return 0;
}
