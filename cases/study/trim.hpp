#pragma once

#include "cases/study/injection.hpp"
#include "cases/study/nitrous.hpp"
#include "cases/study/solve_result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

struct Case;

struct TrimOptions {
    double step = 0.005;  ///< trims are multiples of it [-]
    bool alone = false;  ///< one point taken from several: nothing is said of the others
    std::vector<double> map_speeds;  ///< of the trim map asked for [rad/s]; empty: no map
    std::vector<double> map_pressures;  ///< plenum pressures of that map [Pa]
};

/// Fuel trims of one point from biases alone.
/// theory T51
struct Trims {
    std::vector<double> exact;  ///< bias less the mean of the biases, so that the mean is zero [-]
    std::vector<double> rounded;  ///< to the step, ties to rich [-]; + is more fuel
    double moved_mean = 0;  ///< mean of the rounded trims: how far the whole mixture moves [-]
};

/// @param biases  air over mean air - 1 of each cylinder [-]
/// @param step  > 0 [-]
/// @throws InputError for an empty list, a bias that is not finite or not above -1, a bad step
[[nodiscard]] Trims trims_of(const std::vector<double>& biases, double step);

/// Trims of a solved point at the usual step, in the order of its cylinders; none where the point
/// did not converge or has no cylinders.
[[nodiscard]] std::optional<Trims> usual_trims(const PointResult& point);

/// One cylinder at one point. Ratios, not percent.
struct CylinderTrim {
    int cylinder = 0;  ///< number: what the trim is keyed by
    int firing_position = 0;  ///< beside it, so that the two are not taken for each other
    double bias = 0;  ///< air over mean air - 1
    double exact = 0;  ///< mean-zero trim before rounding
    double trim = 0;  ///< rounded; + is more fuel
    double multiplier = 1;  ///< 1 + trim
    double lambda_untrimmed = 0;  ///< on equal fuel
    double lambda_trimmed = 0;
    double fuel_untrimmed = 0;  ///< [kg/s]
    double fuel_trimmed = 0;  ///< [kg/s]
    std::optional<Duty> duty_untrimmed;  ///< none where the case has no injectors
    std::optional<Duty> duty_trimmed;
};

/// Trims at one operating point.
struct TrimPoint {
    std::string name;
    std::string curve;  ///< that it belongs to; empty: none
    double speed = 0;  ///< [rad/s]
    double source_pressure = 0;  ///< before the throttle [Pa]
    double plenum_pressure = 0;  ///< load axis: mean static pressure in the plenum [Pa]
    double lambda = 1;  ///< target
    double air_flow = 0;  ///< [kg/s]
    bool issued = false;  ///< false: the point did not converge, so nothing below is given
    std::string failure;  ///< why not
    double spread = 0;  ///< of the air: largest minus smallest bias
    std::vector<BankResult> banks = {};  ///< what each bank gets, and how it shares that out
    double bias_band = 0;  ///< half width from the coefficients, 0 where not computed
    double moved_mean = 0;  ///< mean of the rounded trims
    double second_stage_ratio = 0;  ///< effective pulse of the second stage over the first's
    int leanest = 0;  ///< cylinder with the most air: leanest on equal fuel
    double lean_margin = 0;  ///< its lambda on equal fuel less the target; + is lean
    std::string risk;  ///< what that means, one sentence
    std::vector<CylinderTrim> cylinders;  ///< by cylinder number
    std::vector<NitrousCylinder> nitrous;  ///< empty where none flows
};

/// The trims of one point, fixed, at another.
/// theory T54
struct FixedTrim {
    std::string from;  ///< point whose trims are kept
    std::string at;  ///< point where the engine runs
    double spread_untrimmed = 0;  ///< of air over fuel without any trim: largest minus smallest
    double spread_fixed = 0;  ///< with the fixed trims
    int leanest = 0;  ///< cylinder, with the fixed trims
    double lean_margin = 0;  ///< its lambda less the target
    bool worse = false;  ///< than no trim
};

/// Trim of one cylinder over speed and load, interpolated between the points, never beyond them.
struct TrimMap {
    int cylinder = 0;
    int firing_position = 0;
    /// [speed][pressure], row by row; none outside the points
    std::vector<std::optional<double>> trim;
};

struct TrimResult {
    std::string title, case_digest, case_text;
    double step = 0.005;
    Fuel fuel;
    std::optional<Injection> injection;
    std::vector<TrimPoint> points;  ///< in the order of the case
    std::vector<FixedTrim> fixed;  ///< every pair of points, by `from`, then `at`
    std::vector<double> map_speeds, map_pressures;  ///< axes of `map` [rad/s], [Pa]
    std::vector<TrimMap> map;  ///< by cylinder number; empty where none was asked for
    std::vector<std::string> warnings;  ///< over-limit stages, fixed trims worse than none, ...
    std::vector<std::string> errors;  ///< what forbids using the trims at all; see `trim`
    [[nodiscard]] bool converged() const;
};

/// Fuel trims of every converged point of a solved case. Equal fuel means: the fuel that gives the
/// point's lambda with the mean air. Faults of the staging rule stand in `errors`: while the second
/// stage rests the first one is asked for more than its limit.
/// @throws InputError where the case has injectors but no fuel density, where the result is of
/// another engine, or where a map cannot be interpolated
[[nodiscard]] TrimResult trim(const Case& c, const SolveResult& solved, const TrimOptions& options);

}  // namespace plenair
