#include "solver/ensemble/lane_ensemble.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/failure.hpp"
#include "solver/network/builder.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <utility>

namespace plenair {

namespace {

void set_rate(Job& job, double rate) {
    job.rate = rate;
    job.steps = plan_steps(*job.engine, *job.point, 1.0 / rate).total();
    job.keeps_plan = false;
}

/// What one found too slow from still gas, those need not try that have not begun.
void raise_waiting_rates(TopologyGroup& topology_group, const Job& left) {
    const double over_rest = left.rate / left.rate_at_rest;
    for (const auto& job : topology_group.waiting) {
        const double rate = step_rate_level(over_rest * job->rate_at_rest);
        if (!job->iteration && job->start.state.empty() && rate > job->rate) {
            set_rate(*job, rate);
        }
    }
}

/// A crank table with what belongs to it.
struct LaneTable {
    std::shared_ptr<const CrankTable> table;
    std::vector<int> trapped_steps;
    StepPlan plan;
    double rate = 0;  ///< for which its steps are short enough [1/s]
};

/// Tables of one number of steps; jobs of one engine and point share theirs.
class LaneTables final {
public:
    LaneTables(int steps, double density) : steps_(steps), density_(density) {}

    [[nodiscard]] LaneTable table_for(const Job& job) {
        std::erase_if(known_, [](const Known& k) { return k.table.expired(); });
        LaneTable result;
        StepPlan& plan = result.plan = plan_of(job, result.rate);
        for (const Known& k : known_) {
            if (k.engine == job.engine && k.point == job.point && k.steps == plan.steps) {
                result.table = k.table.lock();
            }
        }
        if (result.table == nullptr) {
            const bool single = job.table != nullptr && job.plan.steps == plan.steps;
            result.table = single ? job.table  // of the same cells in single-precision lanes
                                  : std::make_shared<const CrankTable>(
                                        make_crank_table(*job.engine, *job.point, plan));
            known_.push_back({job.engine, job.point, plan.steps, result.table});
        }
        result.trapped_steps = trapped_steps(*job.engine, *job.point, *result.table);
        return result;
    }

private:
    struct Known {
        const geometry::Engine* engine;
        const OperatingPoint* point;
        std::vector<int> steps;
        std::weak_ptr<const CrankTable> table;
    };

    /// The steps of the one that needs most of them, where these are as many here; else its own and
    /// some more.
    [[nodiscard]] StepPlan plan_of(const Job& job, double& rate) const {
        if (job.keeps_plan && job.steps == steps_) {
            rate = job.rate;
            return job.plan;
        }
        rate = density_ * job.point->speed;
        if (rate >= job.rate * (1.0 - 1e-12)) {
            StepPlan plan = plan_steps(*job.engine, *job.point, 1.0 / rate);
            if (plan.total() == steps_) {
                return plan;
            }
        }
        StepPlan plan = plan_steps(*job.engine, *job.point, 1.0 / job.rate);
        plan.refine(steps_);
        rate = job.steps == steps_ ? job.rate : job.point->speed / plan.longest();
        return plan;
    }

    int steps_;
    double density_;
    std::vector<Known> known_;
};

}  // namespace

template <class T>
void LaneEnsemble<T>::add(JobPtr job) {
    const bool keeps_plan = job->keeps_plan;
    if (keeps_plan) {
        job->steps = job->plan.total();
    } else {
        set_rate(*job, job->rate);
    }
    for (TopologyGroup& topology_group : topology_groups_) {
        const Network* like = topology_group.topology();
        if (like != nullptr && same_topology(*like, job->network)) {
            if (options_.warm && !topology_group.finished.empty() && !keeps_plan) {
                set_rate(*job, rate_of_waves(job->network, topology_group.waves()));
            }
            topology_group.waiting.push_back(std::move(job));
            return;
        }
    }
    topology_groups_.emplace_back();
    topology_groups_.back().waiting.push_back(std::move(job));
}

template <class T>
void LaneEnsemble<T>::run() {
    for (TopologyGroup& topology_group : topology_groups_) {
        while (!topology_group.waiting.empty()) {
            march_lanes(topology_group, choose_shared_steps(topology_group));
        }
    }
}

/// Most steps of those that may march with one that needs `least`.
template <class T>
int LaneEnsemble<T>::most_steps(const TopologyGroup& topology_group, int least) const {
    const double usual = lane_step_excess * least;
    if (!options_.starts_only) {
        return static_cast<int>(usual);
    }
    std::vector<int> steps;
    for (const JobPtr& job : topology_group.waiting) {
        if (job->steps <= start_step_excess * least) {
            steps.push_back(job->steps);
        }
    }
    // More of them only where they fill lanes that would stay empty.
    std::sort(steps.begin(), steps.end());
    const auto width = static_cast<std::size_t>(kernels_(1).width);
    return std::max(static_cast<int>(usual), steps[std::min(steps.size(), width) - 1]);
}

/// What the next lanes share: the most steps that cost none of them too many more than its own.
template <class T>
auto LaneEnsemble<T>::choose_shared_steps(const TopologyGroup& topology_group) const
    -> SharedSteps {
    int least = topology_group.waiting.front()->steps;
    for (const JobPtr& job : topology_group.waiting) {
        least = std::min(least, job->steps);
    }
    const bool exactly = std::any_of(
        topology_group.waiting.begin(), topology_group.waiting.end(), [least](const JobPtr& job) {
            return job->steps == least && job->keeps_plan;
        });
    const int most = exactly ? least : most_steps(topology_group, least);
    SharedSteps shared;
    for (const JobPtr& job : topology_group.waiting) {
        const double density = job->rate / job->point->speed;
        if (job->steps <= most && (job->steps > shared.steps ||
                                   (job->steps == shared.steps && density > shared.density))) {
            shared = {job->steps, density, least};
        }
    }
    // Those that come later may need a little less.
    shared.least =
        exactly ? least
                : std::min(least, static_cast<int>(std::ceil(shared.steps / lane_step_excess)));
    return shared;
}

template <class T>
auto LaneEnsemble<T>::next_job(TopologyGroup& topology_group, const SharedSteps& shared) -> JobPtr {
    for (auto it = topology_group.waiting.begin(); it != topology_group.waiting.end(); ++it) {
        if (shared.suits(**it)) {
            JobPtr job = std::move(*it);
            topology_group.waiting.erase(it);
            return job;
        }
    }
    return nullptr;
}

template <class T>
void LaneEnsemble<T>::begin(const TopologyGroup& topology_group, Job& job) const {
    Start start = std::move(job.start);
    if (start.state.empty() && options_.warm) {
        start = topology_group.warm_start(job).value_or(Start{});
    }
    if (start.state.empty()) {
        job.iteration.emplace(job.network, job.at_rest);
    } else {
        job.iteration.emplace(job.network, std::move(start));
    }
    job.iteration->start_only = options_.starts_only;
}

template <class T>
void LaneEnsemble<T>::note_plan(const Job& job) const {
    if (options_.plans != nullptr) {
        (*options_.plans)[job.index].push_back(job.plan);
    }
}

template <class T>
void LaneEnsemble<T>::march_lanes(TopologyGroup& topology_group, const SharedSteps& shared) {
    const auto suited = std::count_if(topology_group.waiting.begin(),
                                      topology_group.waiting.end(),
                                      [&](const JobPtr& job) { return shared.suits(*job); });
    const LaneKernels<T>& kernels = kernels_(static_cast<std::size_t>(suited));
    std::vector<JobPtr> jobs(static_cast<std::size_t>(kernels.width));
    LaneTables tables(shared.steps, shared.density);
    const auto next = [&](JobPtr& place) {
        place = next_job(topology_group, shared);
        if (place && !place->iteration) {
            begin(topology_group, *place);
        }
        return place != nullptr;
    };
    next(jobs.front());
    const Network topology = jobs.front()->network;
    std::optional<LaneGroup<T>> group;
    const auto make_group = [&](const LaneKernels<T>& march) {
        const LaneTable first = tables.table_for(*jobs.front());
        group.emplace(topology, march, first.table, first.trapped_steps);
    };
    const auto begin_cycle = [&](int lane, Job& job) {
        job.iteration->begin_cycle();
        group->write_state(lane, job.iteration->state);
    };
    const auto enter = [&](int lane, Job& job) {
        LaneTable own = tables.table_for(job);
        job.lane_rate = own.rate;
        job.plan = std::move(own.plan);
        job.table = own.table;
        group->set_lane(lane, job.network, own.table, own.trapped_steps);
        begin_cycle(lane, job);
    };
    make_group(kernels);
    // Empty lanes march along as copies of the first.
    for (int lane = 0; lane < group->width(); ++lane) {
        JobPtr& place = jobs[static_cast<std::size_t>(lane)];
        const bool taken = lane == 0 || next(place);
        enter(lane, taken ? *place : *jobs.front());
        if (taken) {
            note_plan(*place);
        }
    }
    std::size_t busy = 1;
    while (busy > 0) {
        group->march(std::any_of(jobs.begin(), jobs.end(), [](const JobPtr& job) {
            return job && job->iteration->wanted_transport();
        }));
        busy = 0;
        for (int lane = 0; lane < group->width(); ++lane) {
            JobPtr& job = jobs[static_cast<std::size_t>(lane)];
            if (!job) {
                continue;
            }
            if (assess_cycle(*group, lane, topology_group, job)) {
                begin_cycle(lane, *job);
                ++busy;
            } else if (next(job)) {
                enter(lane, *job);
                note_plan(*job);
                ++busy;
            }
        }
        // The last ones go on in fewer lanes, to the same bits: empty ones cost as much as full
        // ones.
        const LaneKernels<T>& fewer = kernels_(busy);
        if (busy > 0 && fewer.width < group->width()) {
            std::erase(jobs, nullptr);
            jobs.resize(static_cast<std::size_t>(fewer.width));
            make_group(fewer);
            for (int lane = 0; lane < fewer.width; ++lane) {
                JobPtr& job = jobs[static_cast<std::size_t>(lane)];
                enter(lane, job ? *job : *jobs.front());
            }
        }
    }
}

template <class T>
bool LaneEnsemble<T>::assess_cycle(LaneGroup<T>& group,
                                   int lane,
                                   TopologyGroup& topology_group,
                                   JobPtr& job) {
    const double rate = job->lane_rate;
    PeriodicIteration& iteration = *job->iteration;
    group.read_state(lane, iteration.state);
    if (!iteration.healthy()) {
        if (iteration.restart(job->at_rest, rate, rate)) {
            set_rate(*job, iteration.wanted_rate);
            topology_group.waiting.push_back(std::move(job));
        } else {
            results_[job->index].failure =
                not_physical(job->network, {}, job->point->speed, iteration.cycles + 1);
            job.reset();
        }
        return false;
    }
    if (const auto kept = iteration.wanted_transport()) {
        const auto carried = std::make_shared<PassiveTransport>(job->network);
        group.carry(lane, *carried);
        carried->end(*kept);
        iteration.take_transport(carried);
    }
    const double fastest = fastest_rate(job->network, group.waves(lane));
    group.read_trapped(lane, fresh_, mass_);
    switch (iteration.end_cycle(fastest, rate, fresh_, options_.min_cycles)) {
        case PeriodicIteration::Verdict::again:
            return true;
        case PeriodicIteration::Verdict::new_steps:
            set_rate(*job, iteration.wanted_rate);
            if (options_.warm) {
                raise_waiting_rates(topology_group, *job);
            }
            // To the front: it ends before others begin, who then know where.
            topology_group.waiting.insert(topology_group.waiting.begin(), std::move(job));
            return false;
        case PeriodicIteration::Verdict::exhausted:
            iteration.report(results_[job->index]);
            results_[job->index].failure = iteration.why_not();
            break;
        case PeriodicIteration::Verdict::periodic:
            finish(group, lane, topology_group, *job);
            break;
    }
    job.reset();
    return false;
}

template <class T>
void LaneEnsemble<T>::finish(LaneGroup<T>& group,
                             int lane,
                             TopologyGroup& topology_group,
                             Job& job) {
    PointResult& result = results_[job.index];
    job.iteration->report(result);
    result.converged = true;
    const CycleEnd end{job.iteration->state, fresh_, mass_};
    fill_air(job.network, *job.engine, *job.point, end, result);
    fill_losses(job.network, *job.table, *job.engine, *job.point, end, result);
    fill_slot_mach(job.network, group.slot_mach(lane), result);
    for (std::size_t m = 0; m < job.network.mouths.size() && m < job.network.valves.size(); ++m) {
        result.cylinders[static_cast<std::size_t>(job.network.valves[m].cylinder)]
            .mouth_velocity_peak = group.mouth_peak(static_cast<int>(m), lane);
    }
    if (std::string caution = job.iteration->caution(); !caution.empty()) {
        result.notes.push_back(std::move(caution));
    }
    Start onward = job.iteration->end();
    onward.plan = job.plan;
    if (options_.ends != nullptr) {
        (*options_.ends)[job.index] = onward;
    }
    topology_group.finished.push_back({job.index,
                                       std::move(job.network),
                                       std::move(job.place),
                                       std::move(onward),
                                       group.waves(lane),
                                       job.rate,
                                       job.lane_rate,
                                       std::move(job.plan),
                                       options_.warm ? nullptr : std::move(job.table)});
}

template <class T>
std::vector<Finished> LaneEnsemble<T>::take_finished() {
    std::vector<Finished> all;
    for (TopologyGroup& topology_group : topology_groups_) {
        for (Finished& f : topology_group.finished) {
            all.push_back(std::move(f));
        }
        topology_group.finished.clear();
    }
    return all;
}

template class LaneEnsemble<double>;
template class LaneEnsemble<float>;

}  // namespace plenair
