#pragma once

#include "cases/study/case.hpp"
#include "solver/march/result.hpp"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

/// What made parts will do: limits of the drawing and bands of the coefficients, turned into the
/// cost of each, odds, and proposals.
namespace plenair {

/// One dimension of the metal that may be off.
struct ToleratedDimension {
    std::string key;  ///< "slot.width", "runner.length of cylinder 3", "left: slot.width"
    std::string source;  ///< "the case", "slot.width_tolerance", "ISO 2768-1 m"
    double limit = 0;  ///< either way [m]
    /// Moves it by so much [m].
    std::function<void(Case&, double)> move;
    std::size_t bank = 0;  ///< index in Intake::banks
    std::size_t part = 0;  ///< of a runner or throttle: its index in the bank
    /// As [tolerance] names it, "runner.length"; one limit there is that of all that share it.
    std::string entry = {};
};

/// A tolerance study as read from a case file. Made by cases/file.
struct TolerancePlan {
    Case base;
    std::vector<ToleratedDimension> dimensions;
    bool coefficients = true;  ///< the model's bands count too
    double target = 0.02;  ///< worst spread that a made part may have [-]
    std::size_t parts = 10000;
    std::uint64_t seed = 1;
    bool direct = false;  ///< every part solved, not read from the response surface
    bool one_part = false;  ///< of one part that was gauged, instead of all that may be made
    std::string left_out;  ///< drawn dimensions without a tolerance, one sentence; may be empty
};

struct ToleranceOptions {
    int threads = 0;
    std::function<void(int done, int total)> progress;
    const std::atomic<bool>* stop = nullptr;
};

/// Share of parts that meet the target, with its 95 % interval.
struct Odds {
    std::size_t parts = 0, good = 0;
    double share = 0, low = 0, high = 0;  ///< probability_interval
};

/// @pre good <= parts
[[nodiscard]] Odds odds_of(std::size_t good, std::size_t parts);

/// What one input costs. Changes of the worst spread [-], of the mean slot loss as a part of the
/// pressure before the throttle [-], and of the air [-].
struct InputEffect {
    std::string key, source;
    bool metal = true;
    double limit = 0;  ///< metal: either way [m]; coefficients: 1, the end of the band
    double spread_low = 0, spread_high = 0;  ///< at the lower and upper limit
    double loss_low = 0, loss_high = 0;
    double air_low = 0, air_high = 0;
    double spread_per_step = 0;  ///< metal: of 0.05 mm, the worse way
    double largest_share = 0;  ///< largest change of any cylinder's bias at a limit
    double first = 0, total = 0;  ///< indices of the worst spread
    std::string entry;  ///< metal: of ToleratedDimension
    double entry_limit = 0;  ///< metal: the largest limit of the dimensions of that entry [m]
    std::optional<double> odds_open;  ///< with twice that limit for all of the entry
    std::optional<double> odds_closed;  ///< with half of it
    std::string proposal;  ///< of the entry: "may be opened", "close first"; else empty
};

/// What is to be done with one made part (part_verdict.hpp).
struct PartVerdict {
    std::string verdict;  ///< "use" | "rework" | "cannot tell" | "reject"; empty: not asked for
    std::string sentence;
    std::vector<std::string> outside;  ///< sizes outside the drawing's limits, in words
};

struct ToleranceResult {
    std::string title, case_digest, case_text;
    geometry::OutputUnits units;
    double target = 0.02;
    std::size_t parts = 0;
    std::uint64_t seed = 1;
    std::vector<PointResult> drawn;  ///< as drawn
    double drawn_spread = 0;  ///< worst of the points [-]
    std::vector<InputEffect> effects;  ///< metal by what it costs, then coefficients
    Odds metal;  ///< parts made within limits, coefficients as they stand
    Odds with_model;  ///< and coefficients within their bands
    double metal_first = 0, metal_total = 0;  ///< indices of all dimensions together
    double model_first = 0, model_total = 0;  ///< of all coefficients together
    double spread_mean = 0,
           spread_deviation = 0;  ///< of made parts with the model's uncertainty [-]
    double spread_95 = 0;  ///< 95 % of made parts are at most here, coefficients as they stand [-]
    double corner_spread = 0;  ///< all dimensions at the worst of their limits, solved [-]
    std::string corner_at;  ///< point
    std::vector<double> corner;  ///< deviation of each metal effect, in their order [m]
    bool direct = false;
    double surface_error = 0;  ///< of the worst spread: root mean square over solved parts [-]
    double surface_worst = 0;  ///< largest of them [-]
    std::size_t checked = 0;  ///< parts solved to find it
    std::size_t solved = 0;  ///< variants solved in all
    std::vector<std::string> sentences;  ///< what follows, most important first
    std::string left_out;
    bool one_part = false;
    PartVerdict part;
    [[nodiscard]] bool converged() const { return !drawn.empty(); }
};

/// @throws InputError where the case as drawn has no result, or nothing has a tolerance
[[nodiscard]] ToleranceResult tolerance(const TolerancePlan& plan, const ToleranceOptions& options);

}  // namespace plenair
