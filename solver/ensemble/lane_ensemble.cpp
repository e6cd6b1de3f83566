#include "solver/ensemble/lane_ensemble.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/network/builder.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace plenair {

template <class T>
void LaneEnsemble<T>::add(JobPtr job) {
    for (Family& family : families_) {
        const Network* like = family.topology();
        if (like != nullptr && same_topology(*like, job->network)) {
            if (options_.warm && !family.finished.empty()) {
                job->rate = rate_of_waves(job->network, family.waves());
            }
            family.waiting.push_back(std::move(job));
            return;
        }
    }
    families_.emplace_back();
    families_.back().waiting.push_back(std::move(job));
}

template <class T>
void LaneEnsemble<T>::run(const LaneKernels<T>& kernels) {
    for (Family& family : families_) {
        while (!family.waiting.empty()) {
            run_rung(kernels, family, common_rate(family));
        }
    }
}

/// Rung that the next lanes share: the highest that costs none of them more than `spread` of its
/// steps.
template <class T>
double LaneEnsemble<T>::common_rate(const Family& family) const {
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
auto LaneEnsemble<T>::next_job(Family& family, double rate) -> JobPtr {
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
void LaneEnsemble<T>::enter(LaneGroup<T>& group, int lane, Job& job) {
    group.set_lane(lane, job.network);
    job.iterate->begin_cycle();
    group.write_state(lane, job.iterate->state);
}

template <class T>
void LaneEnsemble<T>::begin(const Family& family, Job& job) const {
    if (!job.start.empty()) {
        job.iterate.emplace(job.network, std::move(job.start), true);
        job.iterate->start_age = job.start_age;
        return;
    }
    auto warm = options_.warm ? family.warm_start(job) : std::nullopt;
    const bool is_warm = warm.has_value();
    job.iterate.emplace(job.network, is_warm ? std::move(*warm) : job.still, is_warm);
    job.iterate->start_age = is_warm ? family.age() : 0;
}

template <class T>
void LaneEnsemble<T>::run_rung(const LaneKernels<T>& kernels, Family& family, double rate) {
    std::vector<JobPtr> jobs(static_cast<std::size_t>(kernels.width));
    const auto fill = [&](JobPtr& place) {
        place = next_job(family, rate);
        if (place && !place->iterate) {
            begin(family, *place);
        }
        return place != nullptr;
    };
    fill(jobs.front());
    Network topology = jobs.front()->network;
    topology.crank = make_crank_table(shared_.engine, shared_.point, 1.0 / rate);
    const std::vector<int> trapped = trapped_steps(shared_.engine, shared_.point, topology.crank);
    LaneGroup<T> group(topology, kernels, trapped);
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
bool LaneEnsemble<T>::judge(
    LaneGroup<T>& group, int lane, double rate, Family& family, JobPtr& job) {
    Iterate& iterate = *job->iterate;
    group.read_state(lane, iterate.state);
    if (!iterate.healthy()) {
        if (iterate.restart(job->still, rate)) {
            job->rate = iterate.wanted_rate;
            family.waiting.push_back(std::move(job));
        } else {
            results_[job->index].failure = not_physical(iterate.cycles + 1);
            job.reset();
        }
        return false;
    }
    const double seen = fastest_rate(job->network, group.waves(lane));
    switch (iterate.end_cycle(seen, rate, options_.min_cycles)) {
        case Iterate::Verdict::again:
            return true;
        case Iterate::Verdict::faster:
            job->rate = iterate.wanted_rate;
            family.waiting.push_back(std::move(job));
            return false;
        case Iterate::Verdict::exhausted:
            iterate.report(results_[job->index]);
            results_[job->index].failure =
                not_periodic(iterate.cycles, results_[job->index].periodic_residual);
            break;
        case Iterate::Verdict::periodic:
            finish(group, lane, rate, family, *job);
            break;
    }
    job.reset();
    return false;
}

template <class T>
void LaneEnsemble<T>::finish(LaneGroup<T>& group, int lane, double rate, Family& family, Job& job) {
    PointResult& result = results_[job.index];
    job.iterate->report(result);
    result.converged = true;
    group.read_trapped(lane, fresh_, mass_);
    const CycleEnd end{job.iterate->state, fresh_, mass_};
    fill_air(job.network, shared_.engine, shared_.point, end, result);
    fill_losses(job.network, shared_.engine, shared_.point, end, result);
    fill_slot_mach(job.network, group.slot_mach(lane), result);
    for (std::size_t m = 0; m < job.network.mouths.size() && m < job.network.valves.size(); ++m) {
        result.cylinders[static_cast<std::size_t>(job.network.valves[m].cylinder)]
            .mouth_velocity_peak = group.mouth_peak(static_cast<int>(m), lane);
    }
    std::vector<double> onward = job.iterate->next();  // while the network is still the job's
    family.finished.push_back({job.index,
                               std::move(job.network),
                               std::move(job.place),
                               std::move(onward),
                               group.waves(lane),
                               rate,
                               job.iterate->age()});
}

template <class T>
std::vector<Finished> LaneEnsemble<T>::take_finished() {
    std::vector<Finished> all;
    for (Family& family : families_) {
        for (Finished& f : family.finished) {
            all.push_back(std::move(f));
        }
        family.finished.clear();
    }
    return all;
}

template class LaneEnsemble<double>;
template class LaneEnsemble<float>;

}  // namespace plenair
