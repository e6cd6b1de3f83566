#include "solver/march/openings.hpp"

#include "solver/network/fixed_numbers.hpp"

#include <cmath>
#include <cstddef>

namespace plenair {

Openings openings(const Network& n) {
    Openings found;
    for (const Passage& p : n.passages) {
        if (p.slot) {
            const double cd2 = n.discharges[static_cast<std::size_t>(p.discharge)].cd_squared(
                0.0, reference_reynolds);
            found.slot += std::sqrt(cd2) * p.area;
        } else if (p.source) {
            found.feed += p.area;
        }
    }
    for (const Chain& chain : n.chains) {
        found.feed += chain.start_effective_area + chain.end_effective_area;
    }
    return found;
}

double mean_open_area(const CrankTable& crank, const std::vector<double>& column, int cylinders) {
    double area = 0.0;
    double open = 0.0;
    for (std::size_t k = 0; k < crank.step.size(); ++k) {
        const std::size_t j = 2 * k * static_cast<std::size_t>(cylinders);
        area += column[j] * crank.step[k];
        open += column[j] > 0.0 ? crank.step[k] : 0.0;
    }
    return open > 0.0 ? area / open : 0.0;
}

}  // namespace plenair
