#pragma once

#include "solver/march/result.hpp"
#include "solver/network/network.hpp"
#include "solver/network/scratch.hpp"

#include <vector>

namespace plenair {

/// Part of the air below which a slot is no way of it, only what swings to and fro through it is
/// left over: cycles repeat to far less than a part in ten thousand.
inline constexpr double least_through = 1e-4;

/// Shares out the losses of a cycle among several banks. The cycle integrals hold each loss of all
/// banks together; the snapshots at the starts of the steps say how much of it is whose.
class BankLosses final {
public:
    explicit BankLosses(const Network& network);

    void begin();
    /// @param length  mean of the steps before and behind the snapshot [s]
    void observe(const Snapshot& snapshot, double length);
    /// Losses of each bank from those of the point, as flow-weighted means over the cycle; over all
    /// banks their means are those of the point. Does nothing where there is one bank.
    /// @pre the banks of the result are filled
    void share(PointResult& result) const;

private:
    const Network& n_;
    bool several_;  ///< banks; one alone has the losses of the point
    // Integrals over the cycle of flow [kg] and of flow times loss [kg Pa].
    std::vector<double> end_flow_, end_loss_, passage_flow_, passage_loss_, mouth_flow_,
        mouth_loss_, wall_loss_;
};

}  // namespace plenair
