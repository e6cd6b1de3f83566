#pragma once

#include "cases/study/trim.hpp"

#include <string>
#include <vector>

/// The pieces of the trim study.
namespace plenair::study {

/// Cylinders with the most air, by number; several where they print the same bias.
[[nodiscard]] std::vector<int> leanest_of(const TrimPoint& point);
/// "cylinder 2 gets the most air ...": what the leanest cylinder of a point risks on equal fuel.
[[nodiscard]] std::string risk_of(const TrimPoint& point);

/// Every issued point's trims at every other issued point.
[[nodiscard]] std::vector<FixedTrim> fixed_trims(const std::vector<TrimPoint>& points);

/// Fills the map that the options ask for. @throws InputError where the points do not carry one
void add_map(TrimResult& result, const TrimOptions& options);

/// Fills warnings and errors from what the points say.
void add_findings(TrimResult& result, bool alone);

[[nodiscard]] double rpm(double speed);
/// "178.0 kPa abs"
[[nodiscard]] std::string kpa_abs(double pressure);

}  // namespace plenair::study
