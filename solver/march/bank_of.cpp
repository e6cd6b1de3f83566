#include "solver/march/bank_of.hpp"

#include "geometry/contract.hpp"

#include <algorithm>

namespace plenair {

const Chain* chamber_of(const Network& network, const Footprint& cells) {
    const auto found =
        std::find_if(network.chains.begin(), network.chains.end(), [&](const Chain& chain) {
            return cells.first >= chain.first && cells.first < chain.first + chain.count;
        });
    return cells.weight.empty() || found == network.chains.end() ? nullptr : &*found;
}

const std::string& bank_name(const Network& network, const Chain& chain) {
    PLENAIR_EXPECT(static_cast<std::size_t>(chain.bank) < network.banks.size());
    return network.banks[static_cast<std::size_t>(chain.bank)];
}

}  // namespace plenair
