#pragma once

#include "solver/march/rig_march.hpp"

#include <complex>
#include <string>
#include <vector>

namespace plenair {

/// How a rig answers a small swing of the pressure before or behind it.
struct ResponseSettings {
    BenchSettings air;
    bool in_room = false;  ///< the room's pressure swings, else the source's
    bool about_rest = true;  ///< about air at rest, else about the steady flow of the bench
    std::vector<double> frequency;  ///< rising [Hz]
    double longest = 2;  ///< the pulse is followed no longer [s]
};

/// One quantity's answer to a swing of 1 Pa, at each frequency; flows in kg/s per Pa.
struct AnsweringSeries {
    std::string name;
    SeriesKind kind = SeriesKind::pressure;
    std::vector<std::complex<double>> per_pascal;
};

struct ResponseResult {
    bool finished = false;
    std::string failure;
    std::vector<double> frequency;  ///< [Hz]
    std::vector<AnsweringSeries> series;
    double followed = 0;  ///< how long the answer to the pulse was followed [s]
    /// Where the rig rings on at that end: damping that the answer has beside its own [1/s], so
    /// much that nothing is cut off. Peaks are broader by it over 2 pi [Hz].
    double damping = 0;
    long steps = 0;
};

/// Frequency response from one march: a pulse of pressure so small that the rig answers linearly,
/// and the ratio of the Laplace integrals of what follows and of the pulse at s = damping + i
/// omega. Exact but for cells and steps.
/// @source Oppenheim A. V., Willsky A. S. 1997, Signals and Systems, 2nd ed., sec. 9.5
/// (convolution; from memory). Never throws for a rig that cannot be marched: `finished` is then
/// false.
/// theory T65
[[nodiscard]] ResponseResult solve_response(const geometry::Intake& intake,
                                            const ResponseSettings& settings,
                                            const Model& model,
                                            const Watcher& watcher = {});

}  // namespace plenair
