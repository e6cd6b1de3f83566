#include "solver/ensemble/ensemble.hpp"

#include "geometry/error.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/lane_group.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/network/builder.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

/// All variants of one call on their way to a result.
template <class T>
class Ensemble final {
public:
    Ensemble(const geometry::Engine& engine,
             const OperatingPoint& point,
             const EnsembleOptions& options,
             const LaneKernels<T>& kernels,
             std::vector<PointResult>& results)
        : engine_(engine),
          point_(point),
          options_(options),
          kernels_(kernels),
          results_(results),
          first_table_(make_crank_table(engine, point, first_table_step(point))) {}

    void add(std::size_t index, const Variant& variant);
    void run();

private:
    using JobPtr = std::unique_ptr<Job>;

    [[nodiscard]] std::optional<std::vector<double>> warm_start(const Family& family,
                                                                const Job& job) const;
    /// Steps that a lane may take beyond its need to march with others.
    static constexpr double spread = 1.13;

    [[nodiscard]] double common_rate(const Family& family) const;
    void run_rung(Family& family, double rate);
    [[nodiscard]] JobPtr next_job(Family& family, double rate);
    void enter(LaneGroup<T>& group, int lane, Job& job);
    /// Looks at a job after a cycle; true while it stays in its lane.
    [[nodiscard]] bool judge(
        LaneGroup<T>& group, int lane, double rate, Family& family, JobPtr& job);
    void finish(LaneGroup<T>& group, int lane, Family& family, Job& job);

    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    const EnsembleOptions& options_;
    const LaneKernels<T>& kernels_;
    std::vector<PointResult>& results_;
    CrankTable first_table_;
    std::vector<Family> families_;
    Network like_;  ///< of the first variant: its tables serve all
    std::vector<double> fresh_, mass_;
};

template <class T>
void Ensemble<T>::add(std::size_t index, const Variant& variant) {
    auto job = std::make_unique<Job>();
    job->index = index;
    try {
        const Network* like = families_.empty() ? nullptr : &like_;
        job->network = build_engine(*variant.intake, engine_, point_, *variant.model, like);
    } catch (const InputError& error) {
        results_[index].failure = error.what();
        return;
    }
    job->network.crank = first_table_;
    job->start = initial_state(job->network);
    job->rate = rate_rung(first_rate * fastest_rate(job->network, job->start));
    for (Family& family : families_) {
        if (same_topology(family.waiting.front()->network, job->network)) {
            family.waiting.push_back(std::move(job));
            return;
        }
    }
    if (families_.empty()) {
        like_ = job->network;
    }
    families_.emplace_back();
    families_.back().waiting.push_back(std::move(job));
}

template <class T>
void Ensemble<T>::run() {
    for (Family& family : families_) {
        while (!family.waiting.empty()) {
            run_rung(family, common_rate(family));
        }
    }
}

/// Rung that the next lanes share: the highest that costs none of them more than `spread` of its
/// steps.
template <class T>
double Ensemble<T>::common_rate(const Family& family) const {
    double least = family.waiting.front()->rate;
    for (const JobPtr& job : family.waiting) {
        least = std::min(least, job->rate);
    }
    double rate = least;
    for (const JobPtr& job : family.waiting) {
        if (job->rate <= spread * least) {
            rate = std::max(rate, job->rate);
        }
    }
    return rate;
}

template <class T>
auto Ensemble<T>::next_job(Family& family, double rate) -> JobPtr {
    for (auto it = family.waiting.begin(); it != family.waiting.end(); ++it) {
        if ((*it)->rate <= rate && spread * (*it)->rate >= rate) {
            JobPtr job = std::move(*it);
            family.waiting.erase(it);
            return job;
        }
    }
    return nullptr;
}

template <class T>
void Ensemble<T>::enter(LaneGroup<T>& group, int lane, Job& job) {
    group.set_lane(lane, job.network);
    job.iterate->begin_cycle();
    group.write_state(lane, job.iterate->state);
}

template <class T>
std::optional<std::vector<double>> Ensemble<T>::warm_start(const Family& family,
                                                           const Job& job) const {
    if (options_.start != nullptr && options_.start->size() == job.start.size()) {
        return *options_.start;
    }
    return options_.warm ? family.warm_start(job.network, job.index) : std::nullopt;
}

template <class T>
void Ensemble<T>::run_rung(Family& family, double rate) {
    std::vector<JobPtr> jobs(static_cast<std::size_t>(kernels_.width));
    const auto fill = [&](JobPtr& place) {
        place = next_job(family, rate);
        if (place && !place->iterate) {
            auto warm = warm_start(family, *place);
            const bool is_warm = warm.has_value();
            place->iterate.emplace(
                place->network, is_warm ? std::move(*warm) : place->start, is_warm);
        }
        return place != nullptr;
    };
    fill(jobs.front());
    Network topology = jobs.front()->network;
    topology.crank = make_crank_table(engine_, point_, 1.0 / rate);
    const std::vector<int> trapped = trapped_steps(engine_, point_, topology.crank);
    LaneGroup<T> group(topology, kernels_, trapped);
    // Empty lanes march along as copies of the first.
    for (int lane = 0; lane < group.width(); ++lane) {
        JobPtr& place = jobs[static_cast<std::size_t>(lane)];
        const bool taken = lane == 0 || fill(place);
        enter(group, lane, taken ? *place : *jobs.front());
    }
    bool busy = true;
    while (busy) {
        group.march();
        busy = false;
        for (int lane = 0; lane < group.width(); ++lane) {
            JobPtr& job = jobs[static_cast<std::size_t>(lane)];
            if (!job) {
                continue;
            }
            if (judge(group, lane, rate, family, job) || fill(job)) {
                enter(group, lane, *job);
                busy = true;
            }
        }
    }
}

template <class T>
bool Ensemble<T>::judge(LaneGroup<T>& group, int lane, double rate, Family& family, JobPtr& job) {
    Iterate& iterate = *job->iterate;
    group.read_state(lane, iterate.state);
    if (!iterate.healthy()) {
        if (iterate.restart(job->start, rate)) {
            job->rate = iterate.wanted_rate;
            family.waiting.push_back(std::move(job));
        } else {
            results_[job->index].failure = not_physical(iterate.cycles + 1);
            job.reset();
        }
        return false;
    }
    const double seen = with_passages(job->network, group.fastest(lane), group.damping(lane));
    switch (iterate.end_cycle(seen, rate, options_.min_cycles)) {
        case Iterate::Verdict::again:
            return true;
        case Iterate::Verdict::faster:
            job->rate = iterate.wanted_rate;
            family.waiting.push_back(std::move(job));
            return false;
        case Iterate::Verdict::exhausted:
            iterate.report(results_[job->index]);
            results_[job->index].failure = not_periodic(iterate.cycles);
            break;
        case Iterate::Verdict::periodic:
            finish(group, lane, family, *job);
            break;
    }
    job.reset();
    return false;
}

template <class T>
void Ensemble<T>::finish(LaneGroup<T>& group, int lane, Family& family, Job& job) {
    PointResult& result = results_[job.index];
    job.iterate->report(result);
    result.converged = true;
    group.read_trapped(lane, fresh_, mass_);
    const CycleEnd end{job.iterate->state, fresh_, mass_};
    fill_air(job.network, engine_, point_, end, result);
    fill_losses(job.network, engine_, point_, end, result);
    fill_slot_mach(job.network, group.slot_mach(lane), result);
    for (std::size_t m = 0; m < job.network.mouths.size() && m < job.network.valves.size(); ++m) {
        result.cylinders[static_cast<std::size_t>(job.network.valves[m].cylinder)]
            .mouth_velocity_peak = group.mouth_peak(static_cast<int>(m), lane);
    }
    if (options_.warm) {
        family.finished.push_back({job.index, std::move(job.iterate->state)});
    }
}

template <class T>
void solve_all(std::span<const Variant> variants,
               const geometry::Engine& engine,
               const OperatingPoint& point,
               const EnsembleOptions& options,
               const LaneKernels<T>& kernels,
               std::vector<PointResult>& results) {
    Ensemble<T> ensemble(engine, point, options, kernels, results);
    for (std::size_t i = 0; i < variants.size(); ++i) {
        ensemble.add(i, variants[i]);
    }
    ensemble.run();
}

}  // namespace

std::vector<PointResult> solve_ensemble(std::span<const Variant> variants,
                                        const geometry::Engine& engine,
                                        const OperatingPoint& point,
                                        const EnsembleOptions& options) {
    std::vector<PointResult> results(variants.size());
    for (PointResult& r : results) {
        fill_point(point, r);
    }
    if (options.precision == Precision::full) {
        solve_all(variants, engine, point, options, best_double_lanes(), results);
    } else {
        solve_all(variants, engine, point, options, best_single_lanes(), results);
    }
    return results;
}

EnsembleWidth ensemble_width(Precision precision) {
    if (precision == Precision::full) {
        return {best_double_lanes().name, best_double_lanes().width};
    }
    return {best_single_lanes().name, best_single_lanes().width};
}

}  // namespace plenair
