#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/solve_result.hpp"

#include <string>

namespace plenair {

/// Version of the layout of docs/results-file.md; counted up when a reader of the old one would
/// fail.
inline constexpr int results_format_version = 1;

/// Results of all points in one HDF5 file, laid out by the netCDF-4 rules; docs/results-file.md
/// lists every dataset. Written beside `path` and then renamed; equal results give equal bytes.
/// Shares, biases and air of a point that did not converge are stored as NaN.
/// @throws WriteError with path and reason; the file of that name is then as it was.
void write_results(const std::string& path, const SolveResult& result);
void write_results(const std::string& path, const BenchStudyResult& result);

/// Reads what write_results stored of a solve study. Numbers that were not stored read as 0.
/// @throws ReadError if the file cannot be read, holds another kind of result, or has another
/// format version; the message names both versions and the program that wrote it.
[[nodiscard]] SolveResult read_results(const std::string& path);
/// The same from the JSON of `solve --json` or `solve -o result.json`. Numbers that JSON holds in
/// other units (rpm, percent) come back to 12 digits.
[[nodiscard]] SolveResult read_results_json(const std::string& path);

}  // namespace plenair
