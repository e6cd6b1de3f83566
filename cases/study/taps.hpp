#pragma once

#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// Where to drill for the pressure gauge of a plenum.
namespace plenair {

/// One place along x.
struct TapPlace {
    double x = 0;  ///< [m]
    bool in_mouth = false;  ///< inside the bell of a runner: never
    /// Mean pressure while each cylinder draws, weighted with its flow: [point][cylinder of the
    /// bank] [Pa].
    std::vector<std::vector<double>> drawing_pressure;
    std::vector<double> unlike;  ///< largest less smallest of them, by point [Pa]
};

struct TapChoice {
    std::string bank;  ///< empty: the only one
    std::vector<std::string> points;
    std::vector<int> cylinders;  ///< of the bank, as they stand in TapPlace::drawing_pressure
    std::vector<TapPlace> places;
    std::size_t best = 0;  ///< that at which the cylinders are most alike in the mean of the points
    std::string words;  ///< one sentence
};

/// Whether x lies in the bell of a runner's mouth.
[[nodiscard]] bool in_bell_mouth(const geometry::Bank& bank, double x);

/// Five places along each plenum of two cylinders or more. @param points  converged, with traces
[[nodiscard]] std::vector<TapChoice> choose_taps(const geometry::Intake& intake,
                                                 const std::vector<const PointResult*>& points,
                                                 const geometry::OutputUnits& units);

}  // namespace plenair
