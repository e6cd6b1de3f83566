#pragma once

#include "cases/study/sweep.hpp"

#include <string>
#include <vector>

namespace plenair {

/// A sweep as comma-separated values (RFC 4180, lines end in LF), one row per variant and point:
/// every swept entry and every number of the point and its cylinders, with the unit in the name of
/// the column; status and reason; case digest, sweep digest and program version.
[[nodiscard]] std::string sweep_csv_header(const SweepInfo& info);
/// @param first  number of the first record, counted from 0
[[nodiscard]] std::string sweep_csv_rows(const SweepInfo& info,
                                         std::size_t first,
                                         const std::vector<VariantRecord>& records);

/// What a sweep came to and where it was written.
struct SweepSummary {
    explicit SweepSummary(const SweepInfo& of) : info(of) {}

    const SweepInfo& info;
    SweepTally tally;
    std::size_t blocks_found = 0;  ///< were in the folder before
    std::size_t blocks_computed = 0;
    std::string folder, result, csv;  ///< empty: not written
};

/// A few lines for people.
[[nodiscard]] std::string terminal_text(const SweepSummary& summary);
/// "plenair.sweep/1"
[[nodiscard]] std::string json_text(const SweepSummary& summary);

}  // namespace plenair
