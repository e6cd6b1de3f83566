#pragma once

#include "solver/cylinder/crank_table.hpp"

#include <memory>
#include <vector>

namespace plenair {

class PassiveTransport;

/// Where a point near others may begin, and what they know of it.
struct Start {
    std::vector<double> state;  ///< empty: none
    std::vector<double> trapped;  ///< fresh masses to expect there [kg]; empty: unknown
    double contraction = 1;  ///< factor by which a cycle brings it nearer
    std::shared_ptr<const PassiveTransport> transport;  ///< null: none known
    int age = 0;  ///< cycles that it took; many: the intake forgets slowly
    /// Steps to take from it, those of its last cycle: shares of other steps differ by up to 0.02
    /// %. Empty: those that its waves ask for.
    StepPlan plan = {};
};

}  // namespace plenair
