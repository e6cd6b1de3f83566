#pragma once

#include "cases/study/assumption.hpp"
#include "cases/study/curve.hpp"
#include "cases/study/fuel.hpp"
#include "cases/study/injection.hpp"
#include "cases/study/learned.hpp"
#include "cases/study/nitrous.hpp"
#include "cases/study/reasons.hpp"
#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"
#include "solver/network/model.hpp"
#include "solver/network/point.hpp"

#include <atomic>
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// Everything a case file says, in SI units. Made by cases/file, read by the studies.
struct Case {
    std::string path;  ///< as given on the command line
    std::string text;  ///< the file itself, after --set
    std::string digest;  ///< "sha256:..." of the normalised entries
    std::string title;
    geometry::OutputUnits units;  ///< in which people read what comes of it
    std::vector<std::string> warnings;  ///< legal but unusual entries, with place
    std::vector<std::string> echo;  ///< every entry normalised, "slot.width = 6 mm (0.2362 in)"
    std::vector<Assumption> assumed;  ///< entries that nobody has confirmed, in file order
    bool has_engine = false;
    geometry::Engine engine;
    geometry::Intake intake;
    Model model;
    std::vector<OperatingPoint> points;  ///< those of [[point]], then those of each curve
    std::vector<SpeedCurve> curves;
    std::vector<BenchSettings> bench;
    Fuel fuel;
    std::optional<Injection> injection;
    std::optional<Nitrous> nitrous;
    double barometer = 101325;  ///< [Pa]
    double port_scatter = 0.01;  ///< of effective valve areas among cylinders, half width [-]
    double reference_density = 0;  ///< for CFM, 0: that of the room air
    std::vector<LearnedEntry> learned;  ///< their values are in the parts and the model already
};

struct SolveOptions {
    int threads = 0;  ///< 0: all cores
    bool traces = false;
    bool bands = false;
    std::vector<std::string> points;  ///< names; empty: all
    bool no_slot = false;  ///< each point without its slot too, where the case has one
    bool refine_curves = true;  ///< look for the worst speed between the steps
    bool reasons = false;  ///< causes and sensitivities of the point with the most spread
    std::function<void(int done, int total)> progress;
    /// After each cycle of a point, from any thread.
    std::function<void(const std::string& point, int cycles)> cycle;
    const std::atomic<bool>* stop = nullptr;  ///< once set, points not begun are left out
    /// For a case of one point: state of a neighbour to begin from (none, or of another topology:
    /// still gas), and where its own periodic state goes.
    const std::vector<double>* start = nullptr;
    std::vector<double>* final_state = nullptr;
};

/// What a curve over speed says beyond its points.
struct CurveResult {
    std::string name;
    std::size_t first = 0, count = 0;  ///< its points in the result
    /// Largest spread between the first and the last speed, also between the steps; none where no
    /// point converged.
    std::optional<PointResult> worst;
    double speed_uncertainty = 0;  ///< the worst speed may be off this much [rad/s]
    double spread_gain = 0;  ///< its spread less the largest of the steps [-]
    int solved = 0;  ///< points solved between the steps
};

/// A curve of no more points is shown like single ones.
inline constexpr std::size_t telling_of_curve = 4;

struct SolveResult {
    std::string title, case_digest, case_text;
    std::vector<PointResult> points;
    std::vector<CurveResult> curves;  ///< curves of the case
    std::size_t left_out = 0;  ///< points not begun when it was told to stop
    std::vector<Assumption> assumed;  ///< of the case; empty in a result that was read back
    Reasons reasons;
    std::string summary;  ///< in a sentence: spread over the points, where end bias reverses sign
    geometry::OutputUnits units;  ///< those of the case; a file of results holds its text
    [[nodiscard]] bool converged() const;
    /// The curve that a point belongs to, by its place; null: none.
    [[nodiscard]] const CurveResult* curve_of(std::size_t point) const;
    /// Points of no curve first, then those of each curve: within one group neighbouring speeds can
    /// be compared.
    [[nodiscard]] std::vector<std::vector<const PointResult*>> groups() const;
    /// The points where not all can be shown: those of no curve, and of each curve the first, the
    /// one in the middle, the last and the one with the most spread.
    [[nodiscard]] std::vector<const PointResult*> telling() const;
};

struct BenchStudyResult {
    std::string title, case_digest, case_text;
    std::vector<BenchResult> set_ups;
    std::vector<Assumption> assumed;
    double reference_density = 0;  ///< for CFM; 0: that of each set-up's room air [kg/m3]
    geometry::OutputUnits units;
    [[nodiscard]] bool converged() const;
};

/// One derived number of the check study.
struct DerivedNumber {
    std::string key, text, unit;  ///< "plenum.volume", "volume of the plenum", "m3"
    double value = 0;  ///< SI
};

struct CheckResult {
    std::string title, case_digest;
    std::vector<DerivedNumber> numbers;
    std::vector<std::string> warnings;
    std::vector<std::string> echo;
    std::vector<Assumption> assumed;
    geometry::OutputUnits units;
};

[[nodiscard]] CheckResult check(const Case& c);
/// All points of the case. @throws InputError where the case has no engine or no point.
[[nodiscard]] SolveResult solve(const Case& c, const SolveOptions& options);
/// All set-ups of the bench, with bands of their shares from the model's coefficients if wanted.
[[nodiscard]] BenchStudyResult bench(const Case& c, bool bands = false);

}  // namespace plenair
