#pragma once

#include "geometry/intake.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/march/start.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace plenair {

/// A variant on its way through the ensemble.
struct Job {
    std::size_t index = 0;  ///< in the list of results
    Network network;
    const geometry::Engine* engine = nullptr;
    const OperatingPoint* point = nullptr;
    std::vector<double> place;  ///< in the design, for warm starts
    std::vector<double> at_rest;  ///< state of still gas
    double rate_at_rest = 0;  ///< fastest wave of it [1/s]
    Start start;  ///< known state to begin from; empty: a warm start or still gas
    double rate = 0;  ///< level of its steps [1/s]
    int steps = 0;  ///< that it needs in a cycle for that
    StepPlan plan;  ///< of the steps that it takes beside others
    bool keeps_plan = false;  ///< marches only with those of as many steps, and with these
    std::shared_ptr<const CrankTable> table;  ///< of these steps
    double lane_rate = 0;  ///< that of the steps which it takes beside others [1/s]
    std::optional<PeriodicIteration> iteration;  ///< once it has begun
};

/// Where a variant came to.
struct Finished {
    std::size_t index = 0;
    Network network;
    std::vector<double> place;
    Start onward;  ///< where one more cycle would begin
    Waves waves;  ///< of its last cycle
    double own_rate = 0;  ///< level that it asked for [1/s]
    double rate = 0;  ///< level of its last cycle [1/s]
    StepPlan plan;  ///< of that
    std::shared_ptr<const CrankTable> table;
};

/// Step rate level of a network by the waves observed in another: finer cells have steeper waves,
/// other variants other ones, by a little [1/s].
[[nodiscard]] double rate_of_waves(const Network& network, const Waves& waves);

/// Jobs of one topology and their final states, for warm starts.
struct TopologyGroup {
    std::vector<std::unique_ptr<Job>> waiting;  ///< in the order in which they are taken
    std::vector<Finished> finished;

    /// Network of one of its jobs; null where none is left.
    [[nodiscard]] const Network* topology() const;
    /// Largest waves of all finished ones. @pre there are some
    [[nodiscard]] Waves waves() const;
    /// State to begin a variant from: the smooth surface through the nearest finished ones; none
    /// where nothing is finished.
    [[nodiscard]] std::optional<Start> warm_start(const Job& job) const;
};

}  // namespace plenair
