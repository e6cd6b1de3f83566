#include "solver/ensemble/lane_ensemble.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/failure.hpp"
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
    Start start = std::move(job.start);
    if (start.state.empty() && options_.warm) {
        start = family.warm_start(job).value_or(Start{});
    }
    if (start.state.empty()) {
        job.iterate.emplace(job.network, job.still, false);
        job.iterate->start_only = options_.starts_only;
        return;
    }
    job.iterate.emplace(job.network, std::move(start.state), true);
    job.iterate->start_age = start.age;
    job.iterate->start_only = options_.starts_only;
    job.iterate->take_transport(std::move(start.transport));
    if (!start.trapped.empty()) {
        job.iterate->expect(start.trapped, start.contraction);
    }
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
        group.march(std::any_of(jobs.begin(), jobs.end(), [](const JobPtr& job) {
            return job && job->iterate->wanted_transport();
        }));
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
            results_[job->index].failure =
                not_physical(job->network, {}, shared_.point.speed, iterate.cycles + 1);
            job.reset();
        }
        return false;
    }
    if (const auto kept = iterate.wanted_transport()) {
        const auto carried = std::make_shared<PassiveTransport>(job->network);
        group.carry(lane, *carried);
        carried->end(*kept);
        iterate.take_transport(carried);
    }
    const double seen = fastest_rate(job->network, group.waves(lane));
    group.read_trapped(lane, fresh_, mass_);
    switch (iterate.end_cycle(seen, rate, fresh_, options_.min_cycles)) {
        case Iterate::Verdict::again:
            return true;
        case Iterate::Verdict::faster:
            job->rate = iterate.wanted_rate;
            family.waiting.push_back(std::move(job));
            return false;
        case Iterate::Verdict::exhausted:
            iterate.report(results_[job->index]);
            results_[job->index].failure = iterate.why_not();
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
    const CycleEnd end{job.iterate->state, fresh_, mass_};
    fill_air(job.network, shared_.engine, shared_.point, end, result);
    fill_losses(job.network, shared_.engine, shared_.point, end, result);
    fill_slot_mach(job.network, group.slot_mach(lane), result);
    for (std::size_t m = 0; m < job.network.mouths.size() && m < job.network.valves.size(); ++m) {
        result.cylinders[static_cast<std::size_t>(job.network.valves[m].cylinder)]
            .mouth_velocity_peak = group.mouth_peak(static_cast<int>(m), lane);
    }
    if (std::string caution = job.iterate->caution(); !caution.empty()) {
        result.notes.push_back(std::move(caution));
    }
    const Iterate& iterate = *job.iterate;
    Start onward{iterate.onward(),
                 iterate.forecast(),
                 iterate.contraction(),
                 iterate.transport(),
                 iterate.age()};
    family.finished.push_back({job.index,
                               std::move(job.network),
                               std::move(job.place),
                               std::move(onward),
                               group.waves(lane),
                               rate});
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
