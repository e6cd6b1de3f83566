#pragma once

#include "cases/study/solve_result.hpp"

#include <string>
#include <vector>

/// Numbers and names of a result as pages show them.
namespace plenair::html {

/// Bias in percent with a true minus sign: "+0.5", "&minus;1.4".
[[nodiscard]] std::string bias_text(double bias);
/// A number with a true minus sign.
[[nodiscard]] std::string number_text(double value, int decimals);
/// Class of a cell by its bias: "even" below `uncertainty`, else "more-1" to "more-3" or "less-1"
/// to "less-3".
[[nodiscard]] std::string bias_class(double bias, double uncertainty);
/// Crank speed as "8600".
[[nodiscard]] std::string rpm_text(double speed);
/// "A4, 8600 rpm, 250 kPa"; escaped.
[[nodiscard]] std::string point_text(const PointResult& point);
/// "3.8"; of a spread that misses the target by less than that shows, as many digits as tell:
/// "2.04".
[[nodiscard]] std::string spread_text(const PointResult& point, double target);
/// Cylinder numbers of a result, ascending.
[[nodiscard]] std::vector<int> cylinder_numbers(const SolveResult& result);
/// Banks of a result, those of the first point that has them; empty where none converged.
[[nodiscard]] const std::vector<BankResult>& banks_of(const SolveResult& result);
/// "End bias: cylinder 5 at the far end minus cylinder 1 at x = 0.", bank by bank; empty where no
/// row has two ends.
[[nodiscard]] std::string end_bias_note(const SolveResult& result);
/// Cylinder of a point by its number, null where there is none.
[[nodiscard]] const CylinderResult* find_cylinder(const PointResult& point, int number);

}  // namespace plenair::html
