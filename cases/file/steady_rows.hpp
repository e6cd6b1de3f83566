#pragma once

#include <cstddef>
#include <vector>

namespace plenair::file {

/// Sums over neighbouring rows of a log in which the engine runs steadily, as they pass by.
struct SteadyRows {
    double begin = 0, end = 0;  ///< [s]
    std::size_t rows = 0;
    double speed = 0, pressure = 0;  ///< running means
    std::vector<double> mean, square;  ///< of what is measured: mean, squared distances from it

    void add(double time, double speed_now, double pressure_now, const std::vector<double>& values);
    /// Whether a row is within 1 % of the running means of speed and pressure.
    [[nodiscard]] bool fits(double speed_now, double pressure_now) const;
    /// Whether a row at this time comes after a hole: later by `least` and by ten times what the
    /// rows before are apart. Over it nobody knows what the engine did.
    [[nodiscard]] bool gap(double time, double least) const;
    /// Standard deviation of the rows.
    [[nodiscard]] double scatter(std::size_t i) const;
};

}  // namespace plenair::file
