#pragma once

#include "cases/study/study.hpp"
#include "solver/network/builder.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

namespace plenair {

/// Band of biases from the model's coefficients.
struct Band {
    double half_width = 0;  ///< [-], 0 where not computed
    std::vector<std::string> left_out;  ///< ends that did not converge, one sentence each
};

/// Band of a point's biases: each coefficient is moved to both ends of its published band
/// (docs/theory.md), the largest change of any cylinder's bias is taken for each, and these are
/// added as root sum of squares (independent causes). Zero where the point did not converge.
/// `start` is the periodic state of the point, from which the moved ones begin.
[[nodiscard]] Band bias_band(const Case& c,
                             const OperatingPoint& point,
                             const PointResult& nominal,
                             const std::vector<double>* start = nullptr);

/// The same for the shares of a bench set-up: of its runners, its holes or along its slot. Zero for
/// a single runner.
[[nodiscard]] Band bench_band(const Case& c,
                              const BenchSettings& settings,
                              const BenchParts& parts,
                              const BenchResult& nominal);

/// Spread with each coefficient at the low and the high end of its band; empty where that did not
/// converge.
using MovedSpreads = std::vector<std::array<std::optional<double>, 2>>;

/// One of these for each coefficient that has a band. [-]
[[nodiscard]] MovedSpreads moved_spreads(const Case& c, const OperatingPoint& point);

/// Half width of the band of the difference between two spreads: what moves both alike leaves it
/// alone. Largest change of the difference for each coefficient, added as root sum of squares. [-]
[[nodiscard]] double difference_band(double first_spread,
                                     const MovedSpreads& first_moved,
                                     double second_spread,
                                     const MovedSpreads& second_moved);

}  // namespace plenair
