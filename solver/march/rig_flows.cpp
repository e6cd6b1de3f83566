#include "solver/march/rig_flows.hpp"

#include <numeric>

namespace plenair {

double RigFlows::through_slot() const {
    return std::accumulate(slot.begin(), slot.end(), 0.0);
}

double RigFlows::through_runners() const {
    return std::accumulate(runner.begin(), runner.end(), 0.0);
}

RigFlows rig_flows(const Network& n, const std::vector<double>& state, const Snapshot& snapshot) {
    RigFlows flows;
    for (std::size_t i = 0; i < n.passages.size(); ++i) {
        if (n.passages[i].slot) {
            flows.slot.push_back(state[static_cast<std::size_t>(n.layout.passage_flow()) + i]);
        }
    }
    for (std::size_t c = 0; c < n.chains.size(); ++c) {
        const Chain& chain = n.chains[c];
        if (chain.runner) {
            flows.runner.push_back(chain.closed_exit ? 0.0 : -snapshot.end_flow[2 * c + 1]);
            continue;
        }
        for (const bool at_start : {true, false}) {
            if ((at_start ? chain.start : chain.end) == EndKind::exit) {
                flows.outlet -= snapshot.end_flow[2 * c + (at_start ? 0 : 1)];
            }
        }
    }
    return flows;
}

}  // namespace plenair
