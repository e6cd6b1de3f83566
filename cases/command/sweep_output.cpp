#include "cases/command/sweep_output.hpp"
#include "cases/command/formats.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "cases/command/output_file.hpp"
#include "cases/command/output_paths.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/file/read.hpp"
#include "cases/store/sweep_folder.hpp"
#include "cases/store/sweep_results.hpp"
#include "cases/store/whole_file.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

/// "2/3, 3/3" and how many more, of the parts that compute `blocks`.
std::string parts_text(const std::vector<std::size_t>& blocks, std::size_t parts) {
    constexpr std::size_t most = 10;
    std::set<std::size_t> wanted;
    for (const std::size_t block : blocks) {
        wanted.insert(block % parts);
    }
    std::string text;
    std::size_t named = 0;
    for (const std::size_t part : wanted) {
        if (named == most) {
            return fmt::format("{} and {} more", text, wanted.size() - most);
        }
        text += fmt::format("{}--part {}/{}", named++ == 0 ? "" : ", ", part + 1, parts);
    }
    return text;
}

/// What the folder lacks, all of it, and the command that makes it.
ReadError incomplete(const SweepStore& store,
                     const std::vector<std::size_t>& missing,
                     const std::vector<std::size_t>& damaged) {
    std::string faults;
    if (!missing.empty()) {
        faults =
            fmt::format("{} of {} blocks are not there yet", missing.size(), store.info().blocks());
    }
    if (!damaged.empty()) {
        std::vector<std::string> files;
        for (const std::size_t block : damaged) {
            files.push_back(SweepStore::file_of(block));
        }
        faults += fmt::format("{}{} of {} blocks {} damaged: {}",
                              faults.empty() ? "" : "; ",
                              damaged.size(),
                              store.info().blocks(),
                              damaged.size() == 1 ? "is" : "are",
                              fmt::join(files, ", "));
    }
    auto blocks = missing;
    blocks.insert(blocks.end(), damaged.begin(), damaged.end());
    const std::size_t parts = parts_of_sweep(store.folder());
    return ReadError(
        fmt::format("{}: {}; run sweep on this folder again{}, which computes only these",
                    store.folder(),
                    faults,
                    parts == 1 ? "" : " with " + parts_text(blocks, parts)));
}

void expect_complete(const SweepStore& store) {
    const auto missing = store.missing();
    if (!missing.empty()) {
        throw incomplete(store, missing, store.damaged());
    }
}

void write_hdf5(const std::string& path, const SweepStore& store, SweepTally& tally) {
    write_beside(path, [&](const std::string& beside) {
        // The numbers of the blocks count twice then; texts are never longer than that.
        SweepResultsWriter file(beside, store.info(), store.bytes());
        for (std::size_t block = 0; block < store.info().blocks(); ++block) {
            const auto records = store.load(block);
            file.add(records);
            for (const auto& record : records) {
                tally.add(record, store.info().points);
            }
        }
        file.finish();
    });
}

void write_csv(const std::string& path, const SweepStore& store) {
    write_beside(path, [&](const std::string& beside) {
        FileWriter file(beside);
        file.add(sweep_csv_header(store.info()));
        for (std::size_t block = 0; block < store.info().blocks(); ++block) {
            file.add(sweep_csv_rows(store.info(), store.info().first_of(block), store.load(block)));
        }
        file.finish();
    });
}

/// @throws WriteError  with what is left to do
void write_files(SweepSummary& summary, const SweepStore& store) {
    try {
        write_hdf5(summary.result, store, summary.tally);
        if (!summary.csv.empty()) {
            write_csv(summary.csv, store);
        }
    } catch (const WriteError& error) {
        const std::string_view said = error.what();
        const bool full = said.find(std::strerror(ENOSPC)) != std::string_view::npos ||
                          said.find(std::strerror(EDQUOT)) != std::string_view::npos;
        throw WriteError(
            fmt::format("{}; finished blocks are kept in {}: {} and run the same command again",
                        said,
                        store.folder(),
                        full ? "make room" : "mend that"));
    }
}

}  // namespace

void check_stored_case(const SweepStore& store) {
    const std::string path = store.folder() + "/sweep.json";
    const auto refuse = [&path] {
        return ReadError(path +
                         ": is damaged: its case text is not that of its case digest; use another "
                         "folder");
    };
    try {
        if (parse_case(store.info().case_text, path, {}).digest != store.info().case_digest) {
            throw refuse();
        }
    } catch (const InputError&) {
        throw refuse();
    }
}

void check_sweep_outputs(const Request& request) {
    if (!request.output.empty()) {
        if (file_kind(request.output, "use .h5, for example -o result.h5") != FileKind::hdf5) {
            throw InputError({fmt::format("-o {}: a sweep is written as .h5; for a table use --csv",
                                          request.output)});
        }
        refuse_unwritable(request.output);
    }
    if (!request.csv.empty()) {
        refuse_unwritable(request.csv);
    }
}

void print_summary(const Request& request, const SweepSummary& summary) {
    if (request.json) {
        print(json_text(summary));
    } else if (!request.quiet) {
        print(terminal_text(summary));
    }
}

Status write_sweep(const Request& request, const SweepStore& store, const SweepProgress& progress) {
    expect_complete(store);
    SweepSummary summary(store.info());
    summary.blocks_found = progress.blocks_found;
    summary.blocks_computed = progress.blocks_computed;
    summary.folder = store.folder();
    summary.result = sweep_result(request, store.folder());
    summary.csv = request.csv;
    try {
        write_files(summary, store);
    } catch (const ReadError&) {
        // Looked for only now: a sweep of a million variants need not be read twice.
        const auto damaged = store.damaged();
        if (damaged.empty()) {
            throw;
        }
        throw incomplete(store, {}, damaged);
    }
    print_summary(request, summary);
    const auto& tally = summary.tally;
    const std::size_t lost =
        tally.failed_variants * store.info().points.size() + tally.failed_points;
    if (lost < tally.points) {
        return Status::done;
    }
    say("not one point has a result; first: " + tally.first_failure);
    return Status::not_converged;
}

}  // namespace plenair::command
