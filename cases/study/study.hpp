#pragma once

#include "cases/study/fuel.hpp"
#include "cases/study/injection.hpp"
#include "cases/study/nitrous.hpp"
#include "geometry/intake.hpp"
#include "solver/march/point.hpp"
#include "solver/march/result.hpp"
#include "solver/network/model.hpp"

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
    std::vector<std::string> warnings;  ///< legal but unusual entries, with place
    std::vector<std::string> echo;  ///< every entry normalised, "slot.width = 6 mm (0.2362 in)"
    bool has_engine = false;
    geometry::Engine engine;
    geometry::Intake intake;
    Model model;
    std::vector<OperatingPoint> points;
    std::vector<BenchSettings> bench;
    Fuel fuel;
    std::optional<Injection> injection;
    std::optional<Nitrous> nitrous;
    double barometer = 101325;  ///< [Pa]
    double port_scatter = 0.01;  ///< of effective valve areas among cylinders, half width [-]
    double reference_density = 0;  ///< for CFM, 0: that of the room air
};

struct SolveOptions {
    int threads = 0;  ///< 0: all cores
    bool traces = false;
    bool bands = false;
    std::function<void(int done, int total)> progress;
    /// After each cycle of a point, from any thread.
    std::function<void(const std::string& point, int cycles)> cycle;
    const std::atomic<bool>* stop = nullptr;  ///< once set, points not begun are left out
    /// For a case of one point: state of a neighbour to begin from (none, or of another topology:
    /// still gas), and where its own periodic state goes.
    const std::vector<double>* start = nullptr;
    std::vector<double>* final_state = nullptr;
};

struct SolveResult {
    std::string title, case_digest, case_text;
    std::vector<PointResult> points;
    std::size_t left_out = 0;  ///< points not begun when it was told to stop
    std::string summary;  ///< in a sentence: spread over the points, where end bias reverses sign
    [[nodiscard]] bool converged() const;
};

struct BenchStudyResult {
    std::string title, case_digest, case_text;
    std::vector<BenchResult> set_ups;
    double reference_density = 0;  ///< for CFM; 0: that of each set-up's room air [kg/m3]
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
};

[[nodiscard]] CheckResult check(const Case& c);
/// All points of the case. @throws InputError where the case has no engine or no point.
[[nodiscard]] SolveResult solve(const Case& c, const SolveOptions& options);
/// All set-ups of the bench, with bands of their shares from the model's coefficients if wanted.
[[nodiscard]] BenchStudyResult bench(const Case& c, bool bands = false);

}  // namespace plenair
