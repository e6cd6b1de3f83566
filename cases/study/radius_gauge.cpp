#include "cases/study/radius_gauge.hpp"

#include "geometry/quantity.hpp"

#include <cmath>

namespace plenair {

namespace {

/// The gauge after one of `size`, both in the set's unit.
double next_size(double size, bool inches) {
    const double fine = inches ? 1.0 / 64 : 0.25;
    const double fine_to = inches ? 17.0 / 64 : 3;
    const double coarse = inches ? 1.0 / 32 : 0.5;
    return size < fine_to - 1e-9 ? size + fine : (std::floor(size / coarse + 1e-9) + 1) * coarse;
}

}  // namespace

RadiusGauges radius_gauges(double low, double nominal, double high, bool inches) {
    constexpr double rounding = 1e-9;  // of decimal lengths [m]
    const char* unit = inches ? "in" : "mm";
    RadiusGauges found;
    for (double size = next_size(0, inches);; size = next_size(size, inches)) {
        const double gauge = geometry::from_unit(size, unit);
        if (gauge < low - rounding) {
            found.below = gauge;
        } else if (gauge > high + rounding) {
            found.above = gauge;
            return found;
        } else if (!found.fits || std::abs(gauge - nominal) < std::abs(*found.fits - nominal)) {
            found.fits = gauge;
        }
    }
}

}  // namespace plenair
