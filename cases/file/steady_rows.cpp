#include "cases/file/steady_rows.hpp"

#include <cmath>

namespace plenair::file {

namespace {

constexpr double steadiness = 0.01;

}  // namespace

void SteadyRows::add(double time,
                     double speed_now,
                     double pressure_now,
                     const std::vector<double>& values) {
    begin = rows == 0 ? time : begin;
    end = time;
    ++rows;
    const double n = static_cast<double>(rows);
    speed += (speed_now - speed) / n;
    pressure += (pressure_now - pressure) / n;
    mean.resize(values.size(), 0.0);
    square.resize(values.size(), 0.0);
    for (std::size_t i = 0; i < values.size(); ++i) {
        // Welford B. P. 1962, Technometrics 4(3), 419-420: no digits lost over a million rows.
        const double before = values[i] - mean[i];
        mean[i] += before / n;
        square[i] += before * (values[i] - mean[i]);
    }
}

bool SteadyRows::fits(double speed_now, double pressure_now) const {
    return rows == 0 || (std::abs(speed_now - speed) <= steadiness * speed &&
                         std::abs(pressure_now - pressure) <= steadiness * std::abs(pressure));
}

bool SteadyRows::gap(double time, double least) const {
    constexpr double usual_steps = 10.0;
    return rows > 1 && time - end > least &&
           time - end > usual_steps * (end - begin) / static_cast<double>(rows - 1);
}

double SteadyRows::scatter(std::size_t i) const {
    return rows < 2 ? 0.0 : std::sqrt(square[i] / static_cast<double>(rows - 1));
}

}  // namespace plenair::file
