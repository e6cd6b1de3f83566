#include "cases/file/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

#include "cases/base/parallel.hpp"
#include "cases/base/whole_number.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_paths.hpp"
#include "cases/command/request.hpp"
#include "cases/command/sweep_output.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/store/sweep_folder.hpp"
#include "cases/store/sweep_lock.hpp"
#include "cases/study/cost.hpp"
#include "cases/study/error.hpp"
#include "cases/study/sweep.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

/// "2/3" as part 1 (from 0) of 3. @throws InputError
std::pair<std::size_t, std::size_t> part_of(const std::string& text) {
    if (text.empty()) {
        return {0, 1};
    }
    constexpr std::size_t most = 100000;
    const std::string_view whole = text;
    const auto slash = whole.find('/');
    if (slash != std::string_view::npos) {
        const auto part = whole_number(whole.substr(0, slash));
        const auto parts = whole_number(whole.substr(slash + 1));
        if (part && parts && *part >= 1 && *part <= *parts && *parts <= most) {
            return {*part - 1, *parts};
        }
    }
    throw InputError(
        {fmt::format("--part {}: write K/N with K from 1 to N, for example --part 2/3", text)});
}

/// Damaged blocks of a part, of which a warning is given: they are computed again.
std::vector<std::size_t> damaged_blocks(const Request& request,
                                        const SweepStore& store,
                                        std::pair<std::size_t, std::size_t> part) {
    auto damaged = store.damaged(part.first, part.second);
    if (!damaged.empty() && !request.quiet) {
        const bool one = damaged.size() == 1;
        print_warnings(
            {fmt::format("{}: {} finished block{} damaged (the first is {}) and {} "
                         "computed again",
                         store.folder(),
                         damaged.size(),
                         one ? " is" : "s are",
                         SweepStore::file_of(damaged.front()),
                         one ? "is" : "are")});
    }
    return damaged;
}

SweepProgress compute(const Request& request,
                      const SweepPlan& plan,
                      const SweepStore& store,
                      std::pair<std::size_t, std::size_t> part) {
    stop_at_leisure();
    const auto damaged = damaged_blocks(request, store, part);
    ProgressLine progress(!request.quiet, "variants");
    const auto points = static_cast<double>(std::max<std::size_t>(1, plan.info.points.size()));
    SweepOptions options;
    options.threads = static_cast<int>(request.threads);
    options.part = part.first;
    options.parts = part.second;
    options.stop = &stop_wanted();
    options.progress = [&](std::size_t done, std::size_t wanted) {
        progress(static_cast<double>(done) / points, static_cast<double>(wanted) / points);
    };
    options.finished = [&](std::size_t block) {
        return store.has(block) && !std::binary_search(damaged.begin(), damaged.end(), block);
    };
    if (!request.quiet && plan.info.count > 0) {
        const auto first = plan.variants(0, 1);
        const Case* one[] = {&first.front().c};
        // Blocks share the threads evenly.
        const double alone =
            lane_gain * static_cast<double>(options.parts * threads_of(options.threads));
        announce(expected_work(one, static_cast<double>(plan.info.count) / alone, 1));
    }
    options.save = [&store](std::size_t block, const auto& records) { store.save(block, records); };
    const auto done = run_sweep(plan, options);
    progress.clear();
    return done;
}

/// What a stopped sweep has, and what it has to compute again.
std::string what_is_kept(const SweepInfo& info,
                         const SweepProgress& progress,
                         const std::string& folder) {
    const std::size_t points = std::max<std::size_t>(1, info.points.size());
    const std::size_t lost = progress.points_lost / points;
    const std::string again =
        lost == 0 ? std::string(progress.points_lost == 0 ? "nothing" : "less than one variant")
                  : fmt::format("{} variant{}", lost, lost == 1 ? "" : "s");
    return fmt::format(
        "{} of {} blocks of up to {} variants are finished and kept in {}; {} of unfinished blocks "
        "{} lost; run the same command again to go on",
        progress.blocks_found + progress.blocks_computed,
        progress.blocks_wanted,
        info.block_size,
        folder,
        again,
        lost > 1 ? "are" : "is");
}

void make_sweep_folder(const std::string& folder) {
    try {
        make_folder(folder);
    } catch (const WriteError& error) {
        const std::string reason = error.what();
        const bool remedy = reason.find("; ") != std::string::npos;
        throw WriteError(remedy ? reason : reason + "; name with --folder one that can be written");
    }
}

}  // namespace

CLI::App* add_sweep(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("sweep", "Every variant that [sweep] asks for, at every point");
    add_common_options(*verb, request);
    add_name(*verb,
             "--folder",
             request.folder,
             "Keep finished work here: new, empty or of this sweep (default: CASE.sweep)")
        ->type_name("FOLDER");
    add_name(*verb, "-o,--output", request.output, "Result (default: FOLDER/result.h5)")
        ->type_name("FILE.h5");
    add_csv_option(*verb, request, "Write a row per variant and point as CSV as well");
    add_name(*verb, "--part", request.part, "Compute one of N parts of the work and no result")
        ->type_name("K/N");
    add_whole_number(*verb,
                     "--limit",
                     request.limit,
                     {1, static_cast<double>(most_variants), "variants", "--limit 50000"},
                     "Refuse more variants than this")
        ->type_name("N")
        ->default_str(fmt::format("{}", default_variant_limit));
    verb->add_option("--precision",
                     request.precision,
                     "single: search lanes, faster, biases within 0.01 % of double; recorded")
        ->check(CLI::IsMember({"double", "single"}))
        ->capture_default_str();
    verb->footer(
        "Run it again to go on after an interruption; docs/how-to/sweep.md says more.\n"
        "Examples:\n"
        "  plenair sweep case.toml --folder widths --csv widths.csv\n"
        "  plenair sweep case.toml --folder /shared/widths --part 2/8");
    return verb;
}

Status run_sweep(const Request& request) {
    if (request.case_path.empty()) {
        throw InputError({"no case file given; run with --help for an example"});
    }
    const auto part = part_of(request.part);
    const SweepPlan plan =
        read_sweep(request.case_path, all_sets(request), {request.limit}, request.precision);
    check_sweep_outputs(request);
    if (!request.quiet) {
        print_warnings(plan.warnings);
    }
    const std::string folder = sweep_folder(request);
    refuse_foreign_folder(folder);
    make_sweep_folder(folder);
    const SweepLock lock(folder, part.first, part.second);
    const SweepStore store(folder, plan.info);
    check_stored_case(store);
    store.remove_leftovers(part.first, part.second);
    const SweepProgress progress = compute(request, plan, store, part);
    if (progress.stopped) {
        end_by_interrupt(what_is_kept(plan.info, progress, folder));
    }
    if (part.second == 1) {
        return write_sweep(request, store, progress);
    }
    SweepSummary summary(store.info());
    summary.blocks_found = progress.blocks_found;
    summary.blocks_computed = progress.blocks_computed;
    summary.folder = folder;
    print_summary(request, summary);
    return Status::done;
}

}  // namespace plenair::command
