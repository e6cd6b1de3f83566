#pragma once

#include "cases/command/request.hpp"
#include "cases/report/sweep.hpp"
#include "cases/store/sweep_store.hpp"

namespace plenair::command {

/// The case text that a folder keeps is the case whose digest stands beside it.
/// @throws ReadError
void check_stored_case(const SweepStore& store);

/// Before computing: -o ends in .h5, it and --csv can be written.
/// @throws InputError, WriteError
void check_sweep_outputs(const Request& request);

/// Joins all blocks of a folder into the HDF5 file and the CSV file, prints the summary.
/// @returns not_converged where not one point has a result
/// @throws ReadError  where blocks are missing or damaged, with all of these and the parts to run
/// again
[[nodiscard]] Status write_sweep(const Request& request,
                                 const SweepStore& store,
                                 const SweepProgress& progress);

/// The summary on standard output, as the request wants it.
void print_summary(const Request& request, const SweepSummary& summary);

}  // namespace plenair::command
