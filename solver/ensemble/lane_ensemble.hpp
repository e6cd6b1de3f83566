#pragma once

#include "geometry/intake.hpp"
#include "solver/ensemble/job.hpp"
#include "solver/ensemble/lane_group.hpp"
#include "solver/march/point.hpp"
#include "solver/march/result.hpp"

#include <memory>
#include <vector>

namespace plenair {

/// Operating point and engine that the variants of an ensemble share.
struct SharedPoint {
    const geometry::Engine& engine;
    const OperatingPoint& point;
};

struct LaneOptions {
    bool warm = true;  ///< jobs without a start of their own begin between finished ones
    int min_cycles = 1;
    bool starts_only = false;  ///< Iterate::start_only
};

/// All variants of one call in lanes of one precision on their way to a periodic state.
template <class T>
class LaneEnsemble final {
public:
    /// `results`: one for each index, filled as variants end; the caller keeps it alive.
    LaneEnsemble(const SharedPoint& shared,
                 const LaneOptions& options,
                 std::vector<PointResult>& results)
        : shared_(shared), options_(options), results_(results) {}

    /// A job with its network, place, still gas and rate.
    void add(std::unique_ptr<Job> job);
    /// Marches all that wait; what more is added then may run in other lanes.
    void run(const LaneKernels<T>& kernels);
    /// Jobs that came to a periodic state, once each.
    [[nodiscard]] std::vector<Finished> take_finished();

private:
    using JobPtr = std::unique_ptr<Job>;

    /// Steps that a lane may take beyond its need to march with others.
    static constexpr double spread = 1.13;

    [[nodiscard]] double common_rate(const Family& family) const;
    void run_rung(const LaneKernels<T>& kernels, Family& family, double rate);
    [[nodiscard]] JobPtr next_job(Family& family, double rate);
    void begin(const Family& family, Job& job) const;
    void enter(LaneGroup<T>& group, int lane, Job& job);
    /// Looks at a job after a cycle; true while it stays in its lane.
    [[nodiscard]] bool judge(
        LaneGroup<T>& group, int lane, double rate, Family& family, JobPtr& job);
    void finish(LaneGroup<T>& group, int lane, double rate, Family& family, Job& job);

    const SharedPoint& shared_;
    LaneOptions options_;
    std::vector<PointResult>& results_;
    std::vector<Family> families_;
    std::vector<double> fresh_, mass_;
};

extern template class LaneEnsemble<double>;
extern template class LaneEnsemble<float>;

}  // namespace plenair
