#pragma once

#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// Checks of the assembly: do the parts fit each other, and is anything legal but unusual.
namespace plenair::geometry {

enum class Severity {
    error,  ///< cannot be built, or cannot be computed
    warning  ///< legal but unusual
};

/// One finding. The message holds part, values with units, the rule and the remedy, without file
/// and line.
struct Finding {
    Severity severity = Severity::error;
    std::string key;  ///< case-file entry to blame: "runner.x", "slot.width"
    std::size_t bank = 0;  ///< index in Intake::banks, 0 for the engine
    std::string message;  ///< "runner 4 at x 420.0 mm lies outside plenum 0-400 mm; move it or ..."
};

/// Distance from the edge of a runner's mouth to the nearer end wall of its plenum [m]; negative
/// where it passes it.
[[nodiscard]] double end_clearance(const Runner& runner, const Chamber& plenum);

/// Findings on throttles, chambers, slot and runners of every bank, in the order of the air.
/// Warnings: bell clearance below one mouth diameter and end clearance below half of one (common
/// practice).
[[nodiscard]] std::vector<Finding> check_intake(const Intake& intake,
                                                const OutputUnits& units = {});

/// Adds the findings on the runners of one bank, `index` in Intake::banks; part of check_intake.
void check_runners(const Bank& bank,
                   std::size_t index,
                   const OutputUnits& units,
                   std::vector<Finding>& findings);

/// Findings on how the intake fits the engine: distance of neighbouring mouths against
/// Engine::pitch, where both are stated.
[[nodiscard]] std::vector<Finding> check_fit(const Intake& intake,
                                             const Engine& engine,
                                             const OutputUnits& units = {});

/// Findings on crank, firing order and valves.
[[nodiscard]] std::vector<Finding> check_engine(const Engine& engine,
                                                const OutputUnits& units = {});

}  // namespace plenair::geometry
