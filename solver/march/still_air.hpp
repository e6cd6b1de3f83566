#pragma once

#include "solver/march/passive_transport.hpp"
#include "solver/network/network.hpp"

#include <Eigen/Core>

#include <vector>

namespace plenair {

/// Makes the image of a cycle that of the preconditioned map: adds what the cycles to come would
/// still change in the entropy of still air, at constant pressure, velocity and fresh fraction; at
/// most 0.3 of a density at once.
/// @param start, end  state before and after the cycle, SI
/// @param scale  of each periodic entry (state_scales)
/// @param image  `end` over `scale`; changed in place
void add_still_air(const Network& network,
                   const PassiveTransport& transport,
                   const std::vector<double>& start,
                   const std::vector<double>& end,
                   const std::vector<double>& scale,
                   Eigen::VectorXd& image);

}  // namespace plenair
