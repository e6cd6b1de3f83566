#pragma once

#include "geometry/intake.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/march/result.hpp"
#include "solver/march/start.hpp"
#include "solver/network/model.hpp"
#include "solver/network/point.hpp"

#include <span>
#include <vector>

namespace plenair {

/// One variant: its metal, its coefficients, its engine and its operating point.
struct Variant {
    const geometry::Intake* intake = nullptr;
    const Model* model = nullptr;
    const geometry::Engine* engine = nullptr;
    const OperatingPoint* point = nullptr;
    /// Where it stands among the others: swept entries, each scaled to order one; equally many for
    /// all. Empty: by its number in the list. Decides what a warm start is made of.
    std::vector<double> place = {};
    /// Where one like it came to, to begin from, and the steps to take; none, or of other cells:
    /// `warm` or still gas.
    const Start* start = nullptr;
};

enum class Precision {
    float64,  ///< what a single variant gives, to rounding
    float32  ///< twice as many lanes: shares to 0.01 %, to look for a design and not to certify
};

/// Vectors of the lanes. `widest`: what this processor has; the others to compare and to test.
enum class Instructions { widest, avx2, portable };

struct EnsembleOptions {
    Precision precision = Precision::float64;
    Instructions instructions = Instructions::widest;  ///< those missing here: the widest
    /// Starts variants from the smooth surface through the final states of those of this call that
    /// are finished; the first ones are taken far apart, so that the others lie between them. Off:
    /// each for itself.
    bool warm = true;
    /// Starts variants that have nothing else to begin from on coarse cells and in single-precision
    /// lanes; off: from still gas on their own cells.
    bool coarse_start = true;
    int min_cycles = 1;
    /// Receives the steps that each took beside others, in turn: with them one by itself gives the
    /// same.
    std::vector<std::vector<StepPlan>>* plans = nullptr;
    /// Receives where one more cycle of each would begin; without state where it did not converge.
    std::vector<Start>* ends = nullptr;
};

/// Many variants of an intake, several at a time, each with its engine at its operating point; each
/// keeps its own iteration, and where one is done the next one takes its place. Those march side by
/// side that need about as many steps in a cycle; variants that share no topology march in turns.
/// Results depend on the variants, their order and the options alone.
/// Pressures along parts and traces are left empty. A variant that cannot be built or does not
/// converge says why in `failure`; the others do not notice.
[[nodiscard]] std::vector<PointResult> solve_ensemble(std::span<const Variant> variants,
                                                      const EnsembleOptions& options);

/// Name of the instruction set and number of lanes that solve_ensemble uses here for so many
/// variants.
struct EnsembleWidth {
    const char* instructions;
    int lanes;
};
[[nodiscard]] EnsembleWidth ensemble_width(Precision precision,
                                           std::size_t variants,
                                           Instructions instructions = Instructions::widest);

}  // namespace plenair
