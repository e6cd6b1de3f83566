#include "cases/command/sweep_output.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "cases/command/interrupt.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/store/sweep_results.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

std::string result_path(const Request& request, const SweepStore& store) {
    return request.output.empty() ? store.folder() + "/result.h5" : request.output;
}

void expect_complete(const SweepStore& store) {
    const auto missing = store.missing();
    if (!missing.empty()) {
        throw ReadError(
            fmt::format("{}: {} of {} blocks are not there yet, the first is block {} (part K/N "
                        "computes blocks K, K + N, K + 2N, ...); run sweep on this folder again",
                        store.folder(),
                        missing.size(),
                        store.info().blocks(),
                        missing.front() + 1));
    }
}

void write_hdf5(const std::string& path, const SweepStore& store, SweepTally& tally) {
    write_beside(path, [&](const std::string& beside) {
        const RemoveOnInterrupt guard(beside + ".part");  // the writer's own unfinished file
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
        std::ofstream file(beside, std::ios::binary);
        file << sweep_csv_header(store.info());
        for (std::size_t block = 0; file && block < store.info().blocks(); ++block) {
            file << sweep_csv_rows(store.info(), store.info().first_of(block), store.load(block));
        }
        file.close();
        if (!file) {
            throw WriteError(std::strerror(errno));
        }
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
        throw WriteError(fmt::format(
            "{}; finished blocks are kept in {}: make room and run the same command again",
            error.what(),
            store.folder()));
    }
}

}  // namespace

void check_sweep_outputs(const Request& request) {
    if (!request.output.empty()) {
        if (file_kind(request.output) != FileKind::hdf5) {
            throw InputError({fmt::format("-o {}: a sweep is written as .h5; for a table use --csv",
                                          request.output)});
        }
        refuse_unwritable(request.output);
    }
    if (!request.csv.empty()) {
        if (request.csv == request.output) {
            throw InputError({fmt::format("-o {0} and --csv {0} name the same file; give two names",
                                          request.csv)});
        }
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
    summary.result = result_path(request, store);
    summary.csv = request.csv;
    write_files(summary, store);
    print_summary(request, summary);
    const auto& tally = summary.tally;
    const std::size_t lost =
        tally.failed_variants * store.info().points.size() + tally.failed_points;
    if (lost < tally.points) {
        return Status::done;
    }
    fmt::print(stderr, "not one point has a result; first: {}\n", tally.first_failure);
    return Status::not_converged;
}

}  // namespace plenair::command
