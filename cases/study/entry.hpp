#pragma once

#include "geometry/intake.hpp"
#include "solver/network/model.hpp"

#include <functional>
#include <string>
#include <vector>

/// What is not known exactly: the model's coefficients with their published bands (docs/theory.md)
/// and the sizes that the shop makes. The only list of them; bands, fits and odds take it from
/// here.
namespace plenair {

struct Case;

/// A case whose coefficients or sizes were moved.
struct Moved {
    Model model;
    geometry::Intake intake;
    geometry::Engine engine;
};

/// Half width that holds 95 % of a normal distribution, over its deviation.
inline constexpr double normal95 = 1.96;

/// One quantity that may be off.
struct Entry {
    std::string key;  ///< "slot.edge_radius", as --entry of fit names it
    std::string label;  ///< "slot coefficient"
    std::string unit;  ///< to show it: "mm"; "x" for a factor; empty for a bare number
    double value = 0;  ///< in the case: SI, or a factor 1, or a shift 0
    double low = 0, high = 0;  ///< ends of its 95 % band
    double least = 0, most = 0;  ///< bounds that a fit does not cross
    double prior_half = 0;  ///< half width of its band before anything was learned of it
    bool uses_engine = false;  ///< moves the engine itself: nothing on a bench, not in lanes
    std::function<void(Moved&, double)> set = {};

    /// Standard deviation of the prior: the band is 95 %.
    [[nodiscard]] double deviation() const { return (high - low) / (2 * normal95); }
};

/// The model's coefficients, the same list for every case. Of those of which something was learned
/// the band is 1.96 of its deviations.
[[nodiscard]] std::vector<Entry> coefficients(const Case& c);

/// Factor or shift that leaves a coefficient as the case says it. @param key  of coefficients()
[[nodiscard]] double untouched(const std::string& key);
/// Whether what was learned of it can only stand as a factor or shift, for the case has no entry.
[[nodiscard]] bool may_be_moved(const std::string& key);
/// Whether a fit may say this of a coefficient.
[[nodiscard]] bool within_bounds(const Case& c, const std::string& key, double value);
/// Moves the case to the values of `c.learned`. Once for a case.
void apply_learned(Case& c);

/// Sizes of the slot with the shop's limits; empty without a slot.
[[nodiscard]] std::vector<Entry> made_sizes(const Case& c);

/// A law that a case could have taken instead of its own, both published.
struct Alternative {
    std::string label;  ///< "law of the mouths"
    std::function<void(Moved&)> set = {};
    bool apart = false;  ///< shares no lanes with the case as it is
};

/// Those that can matter for this case.
[[nodiscard]] std::vector<Alternative> alternatives(const Case& c);

/// What a shift of `valve.coefficient` is of the intake valves' mean coefficient. [-]
[[nodiscard]] double valve_shift(const Case& c, double shift);

/// Those of both that can matter for this case.
[[nodiscard]] std::vector<Entry> uncertain_entries(const Case& c);

}  // namespace plenair
