#include "cases/study/sweep.hpp"

#include "cases/base/thread_start.hpp"
#include "cases/study/block.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <mutex>
#include <thread>

namespace plenair {

namespace {

std::size_t wanted_threads(const SweepOptions& options) {
    return options.threads > 0 ? static_cast<std::size_t>(options.threads)
                               : std::max(1u, std::thread::hardware_concurrency());
}

/// The work of all threads on one sweep.
class Work final {
public:
    Work(const SweepPlan& plan, const SweepOptions& options, std::vector<std::size_t> blocks)
        : plan_(plan), options_(options), blocks_(std::move(blocks)) {
        // Fewer blocks than threads: the rest works inside them.
        block_threads_ = static_cast<int>(std::max<std::size_t>(
            1, wanted_threads(options) / std::max<std::size_t>(1, blocks_.size())));
        for (const std::size_t block : blocks_) {
            points_wanted_ += plan_.info.size_of(block) * plan_.info.points.size();
        }
    }

    /// Takes blocks until none is left, somebody stops it, or one fails.
    void run() noexcept {
        try {
            for (std::size_t i = next_++; i < blocks_.size() && !halted(); i = next_++) {
                compute(blocks_[i]);
            }
        } catch (...) {
            const std::lock_guard lock(mutex_);
            if (!error_) {
                error_ = std::current_exception();
            }
            failed_ = true;
        }
    }

    [[nodiscard]] std::size_t computed() const { return computed_; }
    [[nodiscard]] std::size_t points_lost() const { return points_done_ - points_kept_; }
    void rethrow() const {
        if (error_) {
            std::rethrow_exception(error_);
        }
    }

private:
    [[nodiscard]] bool halted() const {
        return failed_ || (options_.stop != nullptr && options_.stop->load());
    }

    void count_points(std::size_t points) {
        const std::size_t done = points_done_ += points;
        if (options_.progress) {
            options_.progress(done, points_wanted_);
        }
    }

    void compute(std::size_t block);

    const SweepPlan& plan_;
    const SweepOptions& options_;
    std::vector<std::size_t> blocks_;
    int block_threads_ = 1;
    std::size_t points_wanted_ = 0;
    std::atomic<std::size_t> next_{0}, computed_{0}, points_done_{0}, points_kept_{0};
    std::atomic<bool> failed_{false};
    std::mutex mutex_;
    std::exception_ptr error_;
};

/// Place in the design of each of `solved`: its inputs, each scaled to the range that it has in
/// this block; texts count by first appearance.
std::vector<std::vector<double>> places_of(const std::vector<SweepInput>& inputs,
                                           const std::vector<VariantRecord>& records,
                                           const std::vector<std::size_t>& solved) {
    std::vector<std::vector<double>> places(solved.size());
    for (std::size_t k = 0; k < inputs.size() && !solved.empty(); ++k) {
        std::vector<std::string> texts;
        std::vector<double> values;
        for (const std::size_t v : solved) {
            const InputValue& input = records[v].inputs[k];
            const auto known = std::find(texts.begin(), texts.end(), input.text);
            values.push_back(inputs[k].numeric ? input.number
                                               : static_cast<double>(known - texts.begin()));
            if (known == texts.end()) {
                texts.push_back(input.text);
            }
        }
        const auto [low, high] = std::minmax_element(values.begin(), values.end());
        const double range = *high - *low;
        const double least = *low;
        for (std::size_t i = 0; i < values.size() && range > 0.0; ++i) {
            places[i].push_back((values[i] - least) / range);
        }
    }
    return places;
}

void Work::compute(std::size_t block) {
    auto variants = plan_.variants(plan_.info.first_of(block), plan_.info.size_of(block));
    std::vector<Case> cases;
    std::vector<VariantRecord> records(variants.size());
    std::vector<std::size_t> solved;  // record of each case
    for (std::size_t v = 0; v < variants.size(); ++v) {
        records[v].inputs = std::move(variants[v].inputs);
        records[v].failure = std::move(variants[v].failure);
        if (records[v].failure.empty()) {
            cases.push_back(std::move(variants[v].c));
            solved.push_back(v);
        }
    }
    const auto places = places_of(plan_.info.inputs, records, solved);
    BlockOptions block_options;
    block_options.places = places;
    block_options.tolerance = plan_.info.tolerance;
    block_options.single = plan_.info.precision == "single";
    block_options.threads = block_threads_;
    block_options.stop = options_.stop;
    block_options.progress = [this](std::size_t points) { count_points(points); };
    auto outcomes = solve_block(cases, block_options);
    if (!outcomes) {
        return;
    }
    for (std::size_t i = 0; i < solved.size(); ++i) {
        records[solved[i]].points = std::move((*outcomes)[i].points);
        records[solved[i]].failure = std::move((*outcomes)[i].failure);
    }
    options_.save(block, records);
    ++computed_;
    points_kept_ += records.size() * plan_.info.points.size();
    count_points((records.size() - solved.size()) * plan_.info.points.size());
}

}  // namespace

SweepProgress run_sweep(const SweepPlan& plan, const SweepOptions& options) {
    SweepProgress progress;
    std::vector<std::size_t> blocks;
    for (std::size_t block = options.part; block < plan.info.blocks(); block += options.parts) {
        ++progress.blocks_wanted;
        if (options.finished(block)) {
            ++progress.blocks_found;
        } else {
            blocks.push_back(block);
        }
    }
    Work work(plan, options, std::move(blocks));
    {
        std::vector<std::jthread> threads;
        const std::size_t missing = progress.blocks_wanted - progress.blocks_found;
        const std::size_t wanted = std::min(wanted_threads(options), missing);
        for (std::size_t t = 1; t < wanted && start_thread(threads, [&work] { work.run(); }); ++t) {
        }
        work.run();
    }
    work.rethrow();
    progress.blocks_computed = work.computed();
    progress.points_lost = work.points_lost();
    progress.stopped = !progress.complete();
    return progress;
}

}  // namespace plenair
