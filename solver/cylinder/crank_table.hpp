#pragma once

#include "geometry/intake.hpp"
#include "solver/march/point.hpp"
#include "solver/network/network.hpp"

namespace plenair {

/// Tables of everything that depends on crank angle alone, on the half steps of one cycle of 4 pi.
/// Steps are no longer than `longest_step` [s] and are aligned with every valve event and the heat
/// release of every cylinder, so that no step straddles one.
[[nodiscard]] CrankTable make_crank_table(const geometry::Engine& engine,
                                          const OperatingPoint& point,
                                          double longest_step);

/// Step at whose start the charge of a cylinder is complete: intake closed, nothing burned yet.
[[nodiscard]] std::vector<int> trapped_steps(const geometry::Engine& engine,
                                             const OperatingPoint& point,
                                             const CrankTable& table);

/// Angle after firing TDC of a cylinder at a crank angle of the engine [rad], in [0, 4 pi).
[[nodiscard]] double cylinder_angle(const geometry::Engine& engine,
                                    int cylinder,
                                    double crank_angle);

}  // namespace plenair
