#pragma once

#include "geometry/intake.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

#include <vector>

namespace plenair {

/// How the crank angles of a cycle are cut into steps. Steps are aligned with every valve event,
/// the heat release and the gas exchange dead centre of every cylinder, so that no step straddles
/// one.
struct StepPlan {
    double start = 0;  ///< crank angle at which the cycle begins [rad]
    std::vector<double> edges;  ///< these angles, counted from `start`: 0 to 4 pi [rad]
    std::vector<int> steps;  ///< equal ones between two edges

    [[nodiscard]] int total() const;
    /// [rad]
    [[nodiscard]] double longest() const;
    /// Cuts the longest steps until there are `total` of them.
    void refine(int total);
};

/// Steps no longer than `longest_step` [s].
[[nodiscard]] StepPlan plan_steps(const geometry::Engine& engine,
                                  const OperatingPoint& point,
                                  double longest_step);

/// Tables of everything that depends on crank angle alone, on the half steps of one cycle of 4 pi.
[[nodiscard]] CrankTable make_crank_table(const geometry::Engine& engine,
                                          const OperatingPoint& point,
                                          const StepPlan& plan);
/// Its steps and the rows of the start and of half a step later: what initial_state reads.
[[nodiscard]] CrankTable first_crank_rows(const geometry::Engine& engine,
                                          const OperatingPoint& point,
                                          const StepPlan& plan);
/// The whole table with steps no longer than `longest_step` [s].
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

/// Pressure behind the exhaust valves of a cylinder at a crank angle of the engine [Pa]: straight
/// between the angles of its table, else constant.
[[nodiscard]] double exhaust_pressure(const geometry::Engine& engine,
                                      const OperatingPoint& point,
                                      int cylinder,
                                      double crank_angle);

}  // namespace plenair
