#pragma once

#include "cases/study/bands.hpp"
#include "cases/study/compare.hpp"
#include "cases/study/solve_result.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// Spread that counts as even air where nothing else is asked for: 2 % (common practice). [-]
inline constexpr double usual_spread_target = 0.02;
/// Difference of bias below which two cylinders of a point cannot be told apart: the band from the
/// model's coefficients where it was computed, else variant_band. [-]
[[nodiscard]] double least_difference(const PointResult& point);

/// Cylinders with the most air, by number: of equal metal several print the same bias, and which of
/// them is a rounding ahead means nothing.
/// @param biases  [-], of the cylinders in the order of `numbers`
[[nodiscard]] std::vector<int> most_air(const std::vector<int>& numbers,
                                        const std::vector<double>& biases);

/// Whether the spread of a converged point is at most the target [-].
[[nodiscard]] bool meets(const PointResult& point, double target);

/// Two neighbouring speeds between which the favoured end of the plenum changes.
struct Reversal {
    double from = 0, to = 0;  ///< [rad/s]
    std::string bank = {};  ///< of which bank; empty: the only one
};

/// What the points say together.
struct Verdict {
    int points = 0, converged = 0;
    int meeting = 0;  ///< converged points whose spread is at most the target
    double target = usual_spread_target;  ///< [-]
    std::optional<std::size_t> worst;  ///< index of the converged point with the largest spread
    /// Curve whose worst speed lies between its steps with more spread than any point has.
    std::optional<std::size_t> between;
    /// With the most air at the worst point; none where that is not outside of its band.
    std::vector<int> leanest;
    double leanest_bias = 0;  ///< [-]
    std::vector<Reversal> reversals;  ///< end biases below least_difference do not count
    bool several_ends = false;  ///< end biases of more than one bank were looked at
    bool any_ends = false;  ///< some row of cylinders has two ends
    /// Largest spread with and without slot over the points that have both; none without.
    std::optional<double> with_slot, without_slot;
    bool with_told = false, without_told = false;  ///< it is more than the band of its point
    /// Points where the slot makes the spread larger and smaller, by more than slot_uncertainty and
    /// to a spread, or from one, that is more than the band.
    std::vector<std::string> harmed, helped;
    /// Of one cylinder, which has no spread: the largest share of the air that the slot costs [-].
    std::optional<double> slot_cost;
    double slot_uncertainty = variant_band;  ///< by which they must differ to be told apart [-]
};

/// Where the end bias of each bank changes its sign, by speed; biases below least_difference do not
/// count. Points at part load between those at full load are no neighbours of theirs: give each
/// curve by itself.
[[nodiscard]] std::vector<Reversal> reversals(const std::vector<const PointResult*>& points);

[[nodiscard]] Verdict verdict(const SolveResult& result, double target = usual_spread_target);

/// The point with the largest spread, which may lie between the steps of a curve.
/// @pre verdict.worst
[[nodiscard]] const PointResult& worst_of(const SolveResult& result, const Verdict& verdict);

/// Spread, leanest cylinder and points without result, in sentences of plain text.
[[nodiscard]] std::string verdict_text(const SolveResult& result, const Verdict& verdict);

/// "The end bias reverses between 3500 and 5500 rpm, between ...: ..."; that it does not, where two
/// points or more stand; else empty. Plain text.
[[nodiscard]] std::string reversal_text(const Verdict& verdict);

/// The same sentence of the reversals of some points. @param several_ends  of more than one bank
[[nodiscard]] std::string reversal_text(const std::vector<Reversal>& reversals, bool several_ends);

/// What the slot does to the spread, against the same engine without it; that it harms where it
/// does. Empty where that was not computed. Plain text.
[[nodiscard]] std::string slot_text(const Verdict& verdict);

/// What banks get and how they share it out at the worst point; empty where there is one bank.
/// Plain text.
[[nodiscard]] std::string banks_text(const SolveResult& result, const Verdict& verdict);

/// All that a result says in words, for every output: verdict_text, slot_text, banks_text and
/// reversal_text.
[[nodiscard]] std::string verdict_words(const SolveResult& result);

/// By how much readings narrowed the bands of a point, for its notes.
[[nodiscard]] std::string narrowed_words(const Bands& bands);

/// To this a bias and the air should be known at the cells that are used [-]; a point says where
/// they are not.
inline constexpr double aimed_cells_bias = 1e-3;
inline constexpr double aimed_cells_air = 2e-3;

/// That cells move a point by more than the aim, and what to do, for its notes.
[[nodiscard]] std::string cells_words(const Bands& bands);

/// The three largest parts of a point's band of bias: "regain 0.3 %, cells and steps 0.1 %".
[[nodiscard]] std::string band_parts_words(const PointResult& point);

}  // namespace plenair
