#pragma once

#include "cases/study/entry.hpp"
#include "cases/study/measured.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// What was read along the header and its slot on the bench, beside the flow.
namespace plenair {

/// What is predicted for all numbers of a bench reading, in their order: flow [kg/s], flow at its
/// stations over the mean of them [-], static pressure at its taps below the air before the part
/// [Pa]; not finite where no steady state was found.
[[nodiscard]] std::vector<double> bench_numbers(const Moved& v, const BenchReading& reading);
/// The same of a prediction that is there. @param r  as predict() gives it for `v` and `reading`
[[nodiscard]] std::vector<double> bench_numbers(const Moved& v,
                                                const BenchReading& reading,
                                                const BenchResult& r);

/// "flow at 12 stations: at x 152.5 mm 3.1 % of the mean above the prediction (reading +/-2.0 %)",
/// and likewise of the taps; one sentence each, none where none was read.
/// @param predicted  as bench_numbers() gives it
[[nodiscard]] std::vector<std::string> station_remarks(const BenchReading& reading,
                                                       const std::vector<double>& predicted,
                                                       const geometry::OutputUnits& units);

}  // namespace plenair
