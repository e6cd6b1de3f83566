#include "solver/march/bank_of.hpp"

#include <algorithm>

namespace plenair {

const Chain* chamber_of(const Network& network, const Footprint& cells) {
    const auto found =
        std::find_if(network.chains.begin(), network.chains.end(), [&](const Chain& chain) {
            return cells.first >= chain.first && cells.first < chain.first + chain.count;
        });
    return cells.weight.empty() || found == network.chains.end() ? nullptr : &*found;
}

std::string bank_name(const Chain& chamber) {
    const auto part = chamber.name.rfind(' ');
    return part == std::string::npos ? std::string() : chamber.name.substr(0, part);
}

}  // namespace plenair
