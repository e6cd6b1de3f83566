#pragma once

#include "cases/study/case.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// One value of the entry that is compared, with the whole case at that value.
struct ComparedCase {
    std::string text;  ///< as a person names it: "3 mm"
    Case c;
};

struct CompareOptions {
    int threads = 0;  ///< 0: all cores
    bool bands = false;  ///< bands of spread differences from the model's coefficients
    std::vector<std::string> points;  ///< names; empty: all points of the case
    std::function<void(int done, int total)> progress;
};

/// Spread and cost of one value at one point, or over the points.
struct CompareMark {
    bool converged = false;  ///< false: there are no figures
    double spread = 0;  ///< largest minus smallest bias; over the points: the worst of them [-]
    std::string worst_point;  ///< over the points: where
    double slot_loss = 0;  ///< over the points: mean, each counted once [Pa]
    /// What the spread is bought with, see CompareCost; over the points: mean [Pa]
    double loss = 0;
    double air_flow = 0;  ///< over the points: mean [kg/s]
    /// 1 - air / air without slot; over the points: mean of those where no slot converged [-]
    std::optional<double> air_lost;
    std::optional<double> knee_distance;  ///< below the straight line, of the scaled curve [-]
    /// Every value of less loss has more spread by more than the band; of values whose spreads
    /// cannot be told apart only the one of least loss is.
    bool best = false;
};

/// The values at one point, or over the points.
struct CompareCurve {
    std::string point;  ///< empty: over the points
    std::vector<CompareMark> marks;  ///< one per value
    std::optional<CompareMark> no_slot;
    std::optional<std::size_t> knee;  ///< value farthest below the straight line, see mark_knee
    std::optional<std::size_t> second;  ///< the next farthest
    /// The widest value whose spread no narrower one lowers by more than the band; the narrowest
    /// where every step still helps. Wide and narrow are slot areas; where the values do not
    /// differ in them, less and more loss.
    std::optional<std::size_t> settled;
    double band = 0;  ///< largest band of a difference between two values used for `settled` [-]
    bool differs = false;  ///< some two values differ in spread by more than their band
    std::string verdict;  ///< one sentence
    std::string slot_verdict;  ///< against no slot, where the slot does not help; else empty
};

/// Loss of total pressure against which the spreads are weighed.
enum class CompareCost {
    slot,  ///< of the slot: the entry is one of it
    all,  ///< of throttle, slot, mouths, runners and ports together: it is another, or there is no
          ///< slot
};

struct CompareResult {
    std::string title, case_digest, case_text;
    std::string key;  ///< "slot.width"
    std::vector<std::string> values;  ///< "3 mm"
    std::vector<std::string> digests;  ///< of the case at each value
    CompareCost cost = CompareCost::slot;
    std::vector<double> slot_areas;  ///< of all banks [m2]; empty where the values share one
    std::vector<std::vector<PointResult>> results;  ///< value x point
    std::vector<PointResult> no_slot;  ///< by point; empty where there is none to compare with
    bool computed_bands = false;  ///< else the band is variant_band
    std::vector<CompareCurve> curves;  ///< over the points first, then each point
    std::string summary;  ///< in a sentence
    /// Of one point there is neither a worst nor a mean.
    [[nodiscard]] bool several_points() const { return curves.size() > 2; }
    /// Of the values; a point without slot that did not converge only leaves its column empty.
    [[nodiscard]] bool converged() const;
};

/// Half width within which two variants of one design cannot be told apart: working practice for
/// one-dimensional gas exchange, from memory. [-]
inline constexpr double variant_band = 0.005;

/// Every value at every point, and the case as it stands without its slot (study::without_slot),
/// side by side. The cases differ in one entry and have the same points.
/// @param base  the case as it stands; gives title, digest and text
/// @throws InputError  fewer than two values, no engine, no point, or a point that is not there
[[nodiscard]] CompareResult compare(const Case& base,
                                    const std::string& key,
                                    const std::vector<ComparedCase>& values,
                                    const CompareOptions& options);

}  // namespace plenair
