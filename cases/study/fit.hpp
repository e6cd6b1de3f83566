#pragma once

#include "cases/study/measured.hpp"
#include "cases/study/taps.hpp"

#include <functional>
#include <string>
#include <vector>

/// Learns from readings: which values of the model's uncertain entries they speak for, what they
/// cannot tell, which cylinder has a fault, what to measure next.
namespace plenair {

struct Case;

namespace study {
class FitModel;
}

struct FitOptions {
    /// Entries to fit, without a prior, all others held as in the case; empty: all, each with its
    /// prior.
    std::vector<std::string> entries;
    int threads = 0;
    std::function<void(int done, int total)> progress;
};

/// All half widths are 95 %.
struct FittedEntry {
    std::string key;
    /// "bank left; the other moves as much" of a size that several banks have; else empty.
    std::string whose;
    std::string unit;
    double before = 0, before_half = 0;  ///< as drawn or gauged; half 0: no prior
    double after = 0, after_half = 0;
    bool gauged = false;
    bool at_bound = false;
};

struct FittedReading {
    std::string name, unit;
    double value = 0, half = 0;  ///< in SI
    double before = 0, after = 0;  ///< predicted
    double residual = 0;  ///< after, over its deviation
    bool misfit = false;  ///< beyond three deviations: set down
};

struct FittedAir {
    std::string point;
    std::vector<double> before, before_half, after, after_half;  ///< bias by cylinder
    double spread_before = 0, spread_before_half = 0, spread_after = 0, spread_after_half = 0;
};

enum class FaultKind { injector, sensor, runner, leak, reading };

struct Fault {
    FaultKind kind = FaultKind::injector;
    int cylinder = 0;
    double probability = 0;
    double size = 0;  ///< injector, runner, leak: relative; sensor: lambda
    std::string text;  ///< one sentence
    bool named = false;
};

/// What lambda of one cylinder is made of, mean of the points where it was read.
struct LambdaSplit {
    int cylinder = 0;
    bool measured = false;
    double excess = 0;  ///< read less predicted before [lambda]
    double air = 0, injector = 0, sensor = 0, unexplained = 0;  ///< parts of it [lambda]
    double probability_air = 0, probability_injector = 0, probability_sensor = 0;
    double probability_none = 1;
};

struct FittedTrim {
    std::string point;
    int cylinder = 0;
    bool measured = false;
    double lambda = 0, lambda_half = 0;  ///< in truth, estimated
    double trim = 0, half = 0;  ///< new, + is more fuel; an unmeasured one is kept rich
    bool either =
        false;  ///< injector or sensor: the richer of two answers, the interval holds both
};

struct NextMeasurement {
    std::string what;
    double effort = 1;  ///< gauge 1, bench 2, sensor 3
    double spread_narrows = 0;  ///< of the mean spread band, relative
    double entry_narrows = 0;  ///< of the entry that it tells apart, relative
    std::string entry;  ///< that entry; empty: none
};

/// Joint uncertainty of entries, for bands of later computations.
struct JointUncertainty {
    std::vector<std::string> entries;
    std::vector<double> deviation;  ///< SI
    std::vector<double> correlation;  ///< row by row, below the diagonal
};

struct FitResult {
    std::string title, case_digest, measured_title;
    geometry::OutputUnits units;
    bool made_up = false;
    bool converged = false;
    std::string failure;
    int readings = 0, solutions = 0;
    double sum_before = 0, sum_after = 0;  ///< of squared residuals
    std::vector<FittedEntry> entries;
    std::vector<FittedReading> all_readings;
    std::vector<std::string> alike;  ///< what cannot be told apart, one sentence each
    std::vector<FittedAir> air;
    std::vector<Fault> faults;  ///< most probable first
    double no_fault = 1;  ///< probability
    std::vector<LambdaSplit> splits;
    std::vector<FittedTrim> trims;
    std::vector<NextMeasurement> next;  ///< most worth first
    std::vector<TapChoice> taps;  ///< by bank: where a gauge of the plenum's pressure belongs
    std::vector<std::string> notes, defaults, warnings;
    JointUncertainty joint;
    /// Of the slot of each bank as fitted, isentropic, at the first bench reading of a slot; empty
    /// without such a reading, 0 of a bank without slot.
    std::vector<double> slot_cd;
    std::string summary;
};

/// @throws InputError where an entry is unknown or the readings are fewer than the entries
[[nodiscard]] FitResult fit(const Case& c, const Measured& measured, const FitOptions& options);
/// Fits of one case to other readings, side by side. Each rests on the nearest answer that was
/// solved for any of them.
/// @param model  of the same case, gauges and bench set-ups
[[nodiscard]] std::vector<FitResult> fit_all(const Case& c,
                                             const std::vector<Measured>& measured,
                                             const FitOptions& options,
                                             study::FitModel& model);

}  // namespace plenair
