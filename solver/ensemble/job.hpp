#pragma once

#include "solver/march/iterate.hpp"
#include "solver/network/network.hpp"

#include <memory>
#include <optional>
#include <vector>

namespace plenair {

/// A variant on its way through the ensemble.
struct Job {
    std::size_t index = 0;  ///< place in the list of variants
    Network network;
    std::vector<double> start;  ///< cold start
    double rate = 0;  ///< rung of its steps [1/s]
    std::optional<Iterate> iterate;  ///< once it has begun
};

/// Jobs of one topology and their final states, for warm starts.
struct Family {
    std::vector<std::unique_ptr<Job>> waiting;  ///< in the order of the list
    struct Finished {
        std::size_t index;
        std::vector<double> state;
    };
    std::vector<Finished> finished;

    /// State to begin variant `index` from: that of the nearest finished variant, or the line
    /// through two that stand evenly on one side; none where nothing is finished.
    [[nodiscard]] std::optional<std::vector<double>> warm_start(const Network& network,
                                                                std::size_t index) const;
};

}  // namespace plenair
