#pragma once

#include "geometry/intake.hpp"
#include "solver/network/model.hpp"
#include "solver/network/point.hpp"

#include <string>

namespace plenair {

/// What marching takes, estimated from the drawing alone, before anything is built.
struct Cost {
    double cells = 0;  ///< of all ducts
    double steps = 0;  ///< of one cycle
    double seconds = 0;  ///< to the periodic state on one present core, within a factor of 2 or 3
    double megabytes = 0;
    std::string finest;  ///< part whose cells or passage ask for the shortest step
    double finest_cell = 0;  ///< there [m]
};

/// One operating point in the usual number of cycles: cells and waves give the steps, as when a
/// march begins (solver/march/periodic_iteration.hpp, expected_rate).
[[nodiscard]] Cost point_cost(const geometry::Intake& intake,
                              const geometry::Engine& engine,
                              const OperatingPoint& point,
                              const Model& model);

/// Most memory for one point [MB], and longest time that one may take [s]. Beyond them a point is
/// refused.
inline constexpr double most_megabytes = 300;
inline constexpr double most_seconds = 3600;

/// Why a point is refused, and from where on it would not be.
struct TooCostly {
    std::string why;  ///< "one cycle lasts 120 s and needs ..."; empty: it is not refused
    double speed = 0;  ///< enough with these cells [rad/s]; 0: none is
    double cell = 0;  ///< largest_cell that is enough at this speed, where the model asks for finer
                      ///< ones than certified [m]; 0: none
};
[[nodiscard]] TooCostly too_costly(const geometry::Intake& intake,
                                   const geometry::Engine& engine,
                                   const OperatingPoint& point,
                                   const Model& model);

}  // namespace plenair
