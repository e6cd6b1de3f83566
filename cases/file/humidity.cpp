#include "cases/file/humidity.hpp"

#include "geometry/elementary.hpp"
#include "solver/gas/air.hpp"

#include <cmath>

namespace plenair::file {
namespace {

constexpr double molar_ratio = 0.62198;  // 18.0153 / 28.9647 g/mol: water over dry air

double saturation_pressure(double t) {
    return arithmetic::exp(-6096.9385 / t + 21.2409642 - 2.711193e-2 * t + 1.673952e-5 * t * t +
                           2.433502 * arithmetic::log(t));
}

}  // namespace

double humidity_ratio(double relative, double temperature, double pressure) {
    const double vapour = relative * saturation_pressure(temperature);
    // Boiling air has no ratio; half vapour is far beyond any weather.
    return molar_ratio * vapour / std::fmax(pressure - vapour, vapour);
}

double moist_gas_constant(double ratio) {
    return gas::air_gas_constant_by_mass * (1 + ratio / molar_ratio) / (1 + ratio);
}

}  // namespace plenair::file
