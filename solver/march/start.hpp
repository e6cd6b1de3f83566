#pragma once

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
};

}  // namespace plenair
