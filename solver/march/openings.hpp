#pragma once

#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// Effective areas on the way in, coefficients of discharge included [m2]: of all slots at their
/// fully turbulent coefficient, and of throttles and open ends. Zero where there is none.
struct Openings {
    double slot = 0, feed = 0;
};
[[nodiscard]] Openings openings(const Network& network);

/// Mean effective area of the valves of cylinder 1 over the time that they are open [m2]: of
/// `column`, the table's `intake` or `exhaust`. Zero where they never open.
[[nodiscard]] double mean_open_area(const CrankTable& crank,
                                    const std::vector<double>& column,
                                    int cylinders);

}  // namespace plenair
