#pragma once

#include "solver/ensemble/job.hpp"
#include "solver/ensemble/lane_group.hpp"
#include "solver/march/result.hpp"

#include <functional>
#include <memory>
#include <utility>
#include <vector>

namespace plenair {

/// Steps that a lane may take beyond its need to march with others.
inline constexpr double lane_step_excess = 1.13;
/// The same on the way to a start, where lanes would else stay empty: such a lane costs as much as
/// a full one, and of the steps of a start nothing is left.
inline constexpr double start_step_excess = 1.4;

struct LaneOptions {
    bool warm = true;  ///< jobs without a start of their own begin between finished ones
    int min_cycles = 1;
    bool starts_only = false;  ///< PeriodicIteration::start_only
    std::vector<std::vector<StepPlan>>* plans = nullptr;  ///< receives those taken, by index
    std::vector<Start>* ends = nullptr;  ///< receives where one more cycle begins, by index
};

/// All variants of one call in lanes of one precision on their way to a periodic state.
template <class T>
class LaneEnsemble final {
public:
    /// The march for so many variants.
    using Choice = std::function<const LaneKernels<T>&(std::size_t variants)>;

    /// `results`: one for each index, filled as variants end; the caller keeps it alive.
    LaneEnsemble(const LaneOptions& options, Choice kernels, std::vector<PointResult>& results)
        : options_(options), kernels_(std::move(kernels)), results_(results) {}

    /// A job with its network, engine, point, place, still gas and rate.
    void add(std::unique_ptr<Job> job);
    /// Marches all that wait; more may be added then.
    void run();
    /// Jobs that came to a periodic state, once each.
    [[nodiscard]] std::vector<Finished> take_finished();

private:
    using JobPtr = std::unique_ptr<Job>;

    /// Steps in a cycle that lanes share.
    struct SharedSteps {
        int steps = 0;
        double density = 0;  ///< of those who need them: rate over crank speed [1/rad]
        int least = 0;  ///< steps of the one that needs fewest

        [[nodiscard]] bool suits(const Job& job) const {
            return job.steps <= steps && job.steps >= least;
        }
    };
    [[nodiscard]] int most_steps(const TopologyGroup& topology_group, int least) const;
    [[nodiscard]] SharedSteps choose_shared_steps(const TopologyGroup& topology_group) const;
    void march_lanes(TopologyGroup& topology_group, const SharedSteps& shared);
    [[nodiscard]] JobPtr next_job(TopologyGroup& topology_group, const SharedSteps& shared);
    void begin(const TopologyGroup& topology_group, Job& job) const;
    void note_plan(const Job& job) const;
    /// Looks at a job after a cycle; true while it stays in its lane.
    [[nodiscard]] bool assess_cycle(LaneGroup<T>& group,
                                    int lane,
                                    TopologyGroup& topology_group,
                                    JobPtr& job);
    void finish(LaneGroup<T>& group, int lane, TopologyGroup& topology_group, Job& job);

    LaneOptions options_;
    Choice kernels_;
    std::vector<PointResult>& results_;
    std::vector<TopologyGroup> topology_groups_;
    std::vector<double> fresh_, mass_;
};

extern template class LaneEnsemble<double>;
extern template class LaneEnsemble<float>;

}  // namespace plenair
