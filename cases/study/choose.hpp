#pragma once

#include "cases/study/case.hpp"
#include "cases/study/tolerance.hpp"
#include "solver/march/result.hpp"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// From a goal to dimensions: which values of the free entries meet the limits and make best what
/// was asked for.
namespace plenair {

/// What a limit or an aim speaks of.
enum class Measure {
    spread,  ///< largest minus smallest bias [-]
    end_bias,  ///< far end minus x = 0 of each row, either way [-]
    slot_loss,  ///< [Pa]
    total_loss,  ///< throttle, slot, mouth, runner and port [Pa]
    air,  ///< [kg/s]
    air_against_present,  ///< air over that of the case as it stands [-]
    air_against_no_slot,  ///< air over that without the slot [-]
    choke_margin,  ///< [-]
    unevenness,  ///< rig: largest minus smallest flow along the slot (or of runners) over the mean
    flow  ///< rig: [kg/s]
};

/// What is made best.
enum class Aim {
    spread,  ///< the worst of the points, small
    slot_loss,  ///< the mean of the points as a part of the pressure before the throttle, small
    total_loss,  ///< the same
    air,  ///< the mean of the points over that of the present design, large
    front,  ///< spread against slot loss: the knee of what can be had
    evenness  ///< rig: unevenness, small
};

/// One number that may change: an entry, or its value at one station.
struct FreeNumber {
    std::string key;  ///< "slot.width", "slot.width at 97 mm"
    std::string unit;  ///< as its bounds are written, " mm"
    double low = 0, high = 0, step = 0;  ///< in that unit; step of the shop
    double present = 0;  ///< of the case as it stands; it may lie outside the bounds
    std::size_t entry = 0;  ///< numbers of one entry stand next to each other
    std::optional<double> place;  ///< of a station along its part, 0 to 1; none: a single number
};

/// Two stations next to each other may differ by so much.
struct StationLimit {
    std::size_t first = 0, second = 0;  ///< free numbers
    double most = 0;  ///< in their unit
};

struct ChooseLimit {
    Measure of = Measure::spread;
    std::optional<double> most, least;  ///< SI
    bool of_source = false;  ///< losses: as a part of the pressure before the throttle
    std::string unit = "kPa";  ///< losses in which they are said
    std::vector<std::size_t> points;  ///< of the case, or set-ups of a rig
    std::string text;  ///< "slot loss at most 5 kPa at all points"
};

/// A case whose numbers were exchanged.
struct MadeCase {
    Case c;
    std::string failure;  ///< why its parts do not fit together; empty where they do
};

/// A goal as read from a case file. Made by cases/file.
struct ChoosePlan {
    Case base;
    std::vector<FreeNumber> numbers;
    std::vector<StationLimit> stations;
    std::vector<ChooseLimit> limits;
    Aim aim = Aim::spread;
    std::uint64_t seed = 1;
    /// The case with these numbers; may be called from several threads.
    std::function<MadeCase(const std::vector<double>&)> make;
    /// The same as overrides of the case file, "slot.width=5.8 mm".
    std::function<std::vector<std::string>(const std::vector<double>&)> sets;
    /// The case read again from its file with these overrides.
    std::function<Case(const std::vector<double>&)> read;
    /// Tolerances of that case, for odds.
    std::function<TolerancePlan(const std::vector<double>&)> tolerances;
};

struct ChooseOptions {
    int threads = 0;  ///< 0: all cores
    bool bands = true;  ///< bands of the chosen design from the model's coefficients
    /// Share of made parts for which limits hold and what is made best counts; 0: as drawn.
    double odds = 0;
    std::function<void(int done, int total)> progress;
    const std::atomic<bool>* stop = nullptr;
};

/// One design and what it does.
struct Design {
    std::vector<double> numbers;
    std::vector<PointResult> points;  ///< engine
    std::vector<BenchResult> set_ups;  ///< rig
    double worst_spread = 0;  ///< over the points; rig: unevenness of the worst set-up [-]
    double slot_loss = 0;  ///< mean over the points as a part of source pressure [-]
    double air = 0;  ///< mean over the points; rig: flow [kg/s]
    bool known = false;  ///< everything converged
};

/// How far a limit is from holding.
struct LimitState {
    std::string text;
    double value = 0;  ///< the worst of its points, SI
    std::string at;  ///< that point
    std::string shown;  ///< "4.8 kPa"
    bool met = false;
    /// Where no design that was tried meets it, whatever becomes of the other limits: what the best
    /// of them has, "100.02 % at top".
    std::string best_alone;
    bool binds = false;  ///< a shop step decides about it
    std::string price;  ///< what a little more of it would buy; empty where it does not bind
};

/// What one shop step up and down does to the chosen design.
struct StepEffect {
    std::string key;
    double step = 0;  ///< in the unit of the number; towards + unless it stands at its bound
    double spread = 0, slot_loss = 0, air = 0;  ///< changes [-], of source pressure, relative
    double flat_low = 0, flat_high = 0;  ///< between these nothing changes that can be told
    bool known = false;
};

struct FrontDesign {
    std::string name;  ///< "present", "no slot", "chosen"; empty: one of the front
    std::vector<double> numbers;
    double spread = 0, slot_loss = 0, air = 0;
    bool best = false;  ///< no other has less of both
};

/// What made parts of the chosen design do, coefficients as they stand.
struct MadeOdds {
    double wanted = 0;  ///< share of parts that was asked for
    Odds odds;  ///< parts that meet every limit
    double spread = 0;  ///< so many parts as wanted have at most this worst spread [-]
    std::size_t solved = 0;  ///< designs solved for it
};

struct ChooseResult {
    std::string title, case_digest, case_text;
    std::string chosen_digest;
    std::vector<FreeNumber> numbers;
    Aim aim = Aim::spread;
    Design present, chosen;
    std::optional<Design> no_slot;
    std::optional<MadeOdds> made;  ///< where odds were asked for
    std::vector<LimitState> limits;
    bool all_met = false;
    std::string cause;  ///< where a limit of spread cannot be met: what is left there
    std::vector<StepEffect> steps;
    std::vector<FrontDesign> front;
    std::vector<Design> others;  ///< as good as the chosen one to what can be told, and elsewhere
    std::vector<std::string> sets;  ///< overrides that make the chosen design
    std::vector<std::string> sentences;  ///< what follows, most important first
    std::size_t variants = 0;  ///< designs that were solved
    std::size_t failed = 0;  ///< of them without a result
    std::uint64_t seed = 1;
    [[nodiscard]] bool converged() const { return chosen.known && present.known; }
};

/// Largest minus smallest flow over the mean: along a slot, of the holes, or of the open runners.
[[nodiscard]] double unevenness(const BenchResult& set_up);

/// @throws InputError where an entry changes no result, or nothing of the case can be solved
[[nodiscard]] ChooseResult choose(const ChoosePlan& plan, const ChooseOptions& options);

}  // namespace plenair
