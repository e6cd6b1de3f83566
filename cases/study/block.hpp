#pragma once

#include "solver/march/result.hpp"
#include "solver/march/start.hpp"

#include <atomic>
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace plenair {

struct Case;

/// Estimated error of a share at which a swept variant counts as periodic where the case says
/// nothing: 0.01 % of an even share.
inline constexpr double sweep_tolerance = 1e-4;

/// Note of a point in a sweep in single precision that lanes did not solve.
inline constexpr const char* solved_in_double = "solved alone, in double precision";

struct BlockOptions {
    bool single = false;  ///< precision: twice as many lanes, shares to 0.01 %
    bool warm = true;  ///< begin from neighbours in the block
    /// Estimated error of a share at which a variant counts as periodic, where its own is smaller.
    double tolerance = sweep_tolerance;
    /// Where each variant stands in the design, for warm starts: swept entries, each scaled to
    /// order one; empty: by its number.
    std::span<const std::vector<double>> places;
    /// Where each point of each variant begins; empty, or without state: not known.
    std::span<const std::vector<Start>> starts;
    /// Receives where one more cycle of each point of each variant begins; without state where it
    /// did not converge in lanes.
    std::vector<std::vector<Start>>* ends = nullptr;
    /// Of few variants so many points march together that there is enough for the lanes.
    std::size_t march_together = 64;
    int threads = 1;  ///< for points that need not march together
    const std::atomic<bool>* stop = nullptr;  ///< set by somebody else: give up soon
    /// So many more points are done; from any thread.
    std::function<void(std::size_t points)> progress;
};

/// All points of one variant, or why there are none.
struct VariantOutcome {
    std::vector<PointResult> points;  ///< in the order of the case; empty where it failed
    std::string failure;  ///< one sentence; empty where the points were marched
};

/// Solves every point of each variant of one block, several side by side. The only place where a
/// sweep solves. The result depends on the variants given, their order and the options, and on
/// nothing else: not on threads, other blocks or earlier calls. Points that do not converge say so
/// themselves; whatever else goes wrong with one variant is its `failure` and leaves the others
/// alone. Pressures along parts and traces are left empty.
/// @returns nothing where it was told to stop
[[nodiscard]] std::optional<std::vector<VariantOutcome>> solve_block(std::span<const Case> variants,
                                                                     const BlockOptions& options);

}  // namespace plenair
