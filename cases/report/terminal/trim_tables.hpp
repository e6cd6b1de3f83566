#pragma once

#include "cases/report/terminal/paint.hpp"
#include "cases/study/trim.hpp"

#include <string>

/// The tables of the trim report for a terminal.
namespace plenair {

/// Trim in percent with sign and as many decimals as its step needs: "+2.5", "-0.25", "0".
[[nodiscard]] std::string signed_trim(double ratio);
/// "+0.08".
[[nodiscard]] std::string signed_hundredths(double ratio);

/// Flow duty and commanded duty of each stage before and after trim.
[[nodiscard]] std::string duty_table(const TrimResult& result, const TrimPoint& point);
[[nodiscard]] std::string nitrous_table(const TrimPoint& point);
/// Trims of all points by speed, then load: what is loaded into the engine controller.
[[nodiscard]] std::string trims_over_points(const TrimResult& result, const Paint& paint);
/// One table a cylinder, speeds down, loads across; empty without a map.
[[nodiscard]] std::string map_tables(const TrimResult& result, const Paint& paint);
/// What the trims of one point, kept everywhere, leave at every point.
[[nodiscard]] std::string fixed_table(const TrimResult& result, const Paint& paint);

}  // namespace plenair
