#pragma once

#include "geometry/intake.hpp"
#include "solver/march/result.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

#include <vector>

namespace plenair {

/// What the integrals of one cycle say.
struct CycleEnd {
    const std::vector<double>& state;  ///< at its end, cycle integrals included
    const std::vector<double>& trapped;  ///< fresh mass of each cylinder at intake closing [kg]
    const std::vector<double>& trapped_mass;  ///< its whole mass [kg]
};

/// Name, speed and source of a point.
void fill_point(const OperatingPoint& point, PointResult& result);

/// Air of each cylinder, share, bias, spread, air flow, volumetric efficiency.
void fill_air(const Network& network,
              const geometry::Engine& engine,
              const OperatingPoint& point,
              const CycleEnd& end,
              PointResult& result);

/// What each bank gets, how it shares that out, and the end biases, from the air of the cylinders;
/// of the only bank its losses, too.
void fill_banks(const geometry::Intake& intake, PointResult& result);

/// Losses of throttle, slot, mouths and ports as flow-weighted means, area ratio of slot and
/// throttle, mean inlet Mach index. `crank`: the table of the cycle.
void fill_losses(const Network& network,
                 const CrankTable& crank,
                 const geometry::Engine& engine,
                 const OperatingPoint& point,
                 const CycleEnd& end,
                 PointResult& result);

/// Peak Mach number of the slot, and its choke margin: 1 - flow at this Mach number over choked
/// flow through the same area.
void fill_slot_mach(const Network& network, double peak, PointResult& result);

}  // namespace plenair
