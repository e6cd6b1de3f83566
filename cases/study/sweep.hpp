#pragma once

#include "cases/study/block.hpp"
#include "cases/study/case.hpp"
#include "solver/march/result.hpp"

#include <atomic>
#include <cstddef>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace plenair {

/// One entry that a sweep varies.
struct SweepInput {
    std::string key;  ///< as a person names it: "slot.width", "point.A4.speed"
    bool numeric = true;  ///< one number in SI; else the text as written
    std::string units;  ///< UDUNITS text of the number, "1" where none
    std::string shown_unit;  ///< unit for tables, "mm"; empty: as it is
};

/// Value of one input in one variant.
struct InputValue {
    double number = 0;  ///< SI; only where the input is numeric
    std::string text;  ///< as written, "3 mm"
};

/// What a sweep is, in plain values: all that its store and its results need of the case.
struct SweepInfo {
    std::string title, case_digest, case_text;
    std::string digest;  ///< of case, swept values, order, precision, tolerance, block size
    std::string method;  ///< "grid", "paired" or "sobol"
    std::string precision = "double";  ///< or "single": twice as many lanes, shares to 0.01 %
    /// Periodic residual, where that of the model is smaller.
    double tolerance = sweep_tolerance;
    std::vector<SweepInput> inputs;
    std::vector<std::string> points;  ///< names
    std::vector<int> cylinders;  ///< numbers, rising
    std::vector<int> firing_positions;  ///< of these cylinders
    std::size_t count = 0;  ///< variants
    std::size_t block_size = 0;  ///< variants in a block; the last may hold fewer

    [[nodiscard]] std::size_t blocks() const { return (count + block_size - 1) / block_size; }
    [[nodiscard]] std::size_t first_of(std::size_t block) const { return block * block_size; }
    [[nodiscard]] std::size_t size_of(std::size_t block) const;
};

/// Variants in a block, from their number alone: as many blocks as threads and interruptions want,
/// and as many variants in each as its first ones, which have nobody to begin from, are worth.
[[nodiscard]] std::size_t sweep_block_size(std::size_t count);

/// One variant before it is solved.
struct SweepVariant {
    std::vector<InputValue> inputs;  ///< in the order of SweepInfo::inputs
    Case c;  ///< parts, points and model; without text and echo
    std::string failure;  ///< why its parts do not fit together; empty where they do
};

/// A sweep as read from a case file. Made by cases/file.
struct SweepPlan {
    SweepInfo info;
    std::vector<std::string> warnings;
    /// Variants `first` to `first + count - 1`, counted from 0. May be called from several threads.
    std::function<std::vector<SweepVariant>(std::size_t first, std::size_t count)> variants;
};

/// One variant with its results.
struct VariantRecord {
    std::vector<InputValue> inputs;
    std::string failure;  ///< why it has no points
    std::vector<PointResult> points;
};

struct SweepOptions {
    int threads = 0;  ///< 0: all cores
    std::size_t part = 0, parts = 1;  ///< blocks b with b % parts == part
    const std::atomic<bool>* stop = nullptr;
    std::function<void(std::size_t points_done, std::size_t points_wanted)> progress;
    /// Whether a block is in the store already. Called once for each block, before the work.
    std::function<bool(std::size_t block)> finished;
    /// Takes a finished block. Called from several threads, for different blocks.
    std::function<void(std::size_t block, const std::vector<VariantRecord>& records)> save;
};

/// How far the sweep came.
struct SweepProgress {
    std::size_t blocks_wanted = 0;  ///< of this part
    std::size_t blocks_found = 0;  ///< were in the store before
    std::size_t blocks_computed = 0;
    std::size_t points_lost = 0;  ///< solved in blocks that were left unfinished
    bool stopped = false;
    [[nodiscard]] bool complete() const { return blocks_found + blocks_computed == blocks_wanted; }
};

/// Computes the blocks that the store has not. Memory does not depend on the number of variants.
/// Whatever `save` throws ends the work of all threads and is thrown on.
[[nodiscard]] SweepProgress run_sweep(const SweepPlan& plan, const SweepOptions& options);

/// A variant that no other beats in both spread and air.
struct BestVariant {
    std::size_t number = 0;  ///< from 1
    std::vector<std::string> inputs;  ///< values as written
    double worst_spread = 0;
    std::string worst_point;
    double air_flow = 0;  ///< mean over the points [kg/s]
    double slot_loss = 0;  ///< mean over the points [Pa]
};

/// Variants that were lost for one reason.
struct LossReason {
    std::string text;  ///< of the first: "slot.width = 60 mm: slot width 60 mm exceeds ..."
    std::size_t first = 0;  ///< number of the first variant
    std::size_t count = 0;  ///< variants, or points of variants
};

/// Counts over the records of a sweep, for its last lines.
class SweepTally {
public:
    std::size_t variants = 0, points = 0;
    std::size_t failed_variants = 0;  ///< could not be built
    std::size_t failed_points = 0;  ///< did not converge
    std::size_t in_double = 0;  ///< points of a sweep in single precision that were solved alone
    std::string first_failure;  ///< "variant 7: slot.width = 60 mm: ..."
    /// From the least spread to the most air; every point of each has converged.
    std::vector<BestVariant> best;
    void add(const VariantRecord& record, const std::vector<std::string>& point_names);
    /// The reasons, most frequent first; texts that differ only in their numbers are one reason.
    [[nodiscard]] std::vector<LossReason> reasons() const;

private:
    void lost(const std::string& text);
    void offer(const VariantRecord& record);

    std::map<std::string, LossReason> reasons_;  ///< by text without its numbers
};

/// `count` of them at most, evenly from the first to the last.
[[nodiscard]] std::vector<BestVariant> some_of(const std::vector<BestVariant>& best,
                                               std::size_t count);

}  // namespace plenair
