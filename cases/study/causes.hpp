#pragma once

#include "solver/network/point.hpp"

#include <array>
#include <atomic>
#include <functional>
#include <string>
#include <vector>

/// Where a bias comes from: what is left of it when causes are switched off.
namespace plenair {

struct Case;

/// One cause with the switch that takes it away.
struct Cause {
    std::string name;  ///< "jet of the feed"
    std::string off;  ///< what the switch does, in words
    std::string lever;  ///< what moves it, in words
};

/// The five causes, in the order of every list below.
inline constexpr std::size_t cause_count = 5;
[[nodiscard]] const std::array<Cause, cause_count>& all_causes();

/// The case with these causes switched off.
[[nodiscard]] Case without_causes(Case c, const std::array<bool, cause_count>& off);

/// Shares of the causes in the biases of one point. Shapley values (Shapley L. S. 1953, in
/// Contributions to the Theory of Games II) over the switches, of which some act only through
/// others (Faigle U., Kern W. 1992, The Shapley value for cooperative games under precedence
/// constraints, Int. J. Game Theory 21): the mean of what a cause adds over all orders in which
/// causes can act. Waves, pressure along the chambers, place of the feed and its jet follow one
/// another, runners act at any time. The parts and the rest sum to the whole.
struct CausePoint {
    std::string name;
    double speed = 0;  ///< [rad/s]
    bool known = false;
    std::string failure;  ///< which combination of switches has no result
    std::vector<int> cylinders;
    std::vector<double> whole;  ///< bias of each cylinder [-]
    std::array<std::vector<double>, cause_count> part;  ///< of it, by cause and cylinder [-]
    std::vector<double> rest;  ///< with every cause off [-]
    double spread = 0;  ///< largest minus smallest bias [-]
    std::array<double, cause_count> spread_part{};  ///< of it, between the same two cylinders
    double spread_rest = 0;
    std::size_t largest = 0;  ///< cause with the largest part of the spread
};

struct CausesResult {
    std::string title, case_digest, case_text;
    std::vector<CausePoint> points;
    std::vector<std::string> sentences;
    [[nodiscard]] bool converged() const;
};

struct CausesOptions {
    int threads = 0;  ///< 0: all cores
    std::vector<std::string> points;  ///< names; empty: all
    std::function<void(int done, int total)> progress;
    const std::atomic<bool>* stop = nullptr;
};

/// Causes at one point on the case's intake and engine, for a verdict.
/// @param threads  0: all cores
[[nodiscard]] CausePoint causes_of(const Case& c, const OperatingPoint& point, int threads);

/// @throws InputError where the case has no engine, no point, or not the point that was named
[[nodiscard]] CausesResult causes(const Case& c, const CausesOptions& options);

/// A spread, or a change of one, below this cannot be told [-].
inline constexpr double least_told_spread = 5e-4;

/// "1.9 of 2.8 % is waves and draw order in the chambers; ... moves it."
[[nodiscard]] std::string largest_cause_text(const CausePoint& point);

}  // namespace plenair
