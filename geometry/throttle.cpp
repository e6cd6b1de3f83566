#include "geometry/contract.hpp"
#include "geometry/elementary.hpp"
#include "geometry/intake.hpp"
#include "geometry/table.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair::geometry {

namespace {

/// Twice the area, over the squared unit radius, of a strip of half width s across a circle: asin s
/// + s sqrt(1 - s^2).
double strip(double s) {
    return arithmetic::asin(s) + s * std::sqrt(1 - s * s);
}

}  // namespace

double Throttle::bore_area() const {
    return 0.25 * std::numbers::pi * bore * bore;
}

double Throttle::wide_open_area() const {
    PLENAIR_EXPECT(bore > 0 && shaft >= 0);
    const double s = std::min(shaft / bore, 1.0);
    return bore_area() * (1 - 2 / std::numbers::pi * strip(s));
}

// The plate is an ellipse of semi-axes 1 and r seen along the bore, the shaft a strip of half width
// s. Textbooks (Harrington and Bolt 1970, after Heywood 1988 ch. 7) are often quoted with the
// arcsine terms exchanged, which jumps where the plate hides behind the shaft; this form was
// derived from the two outlines and is continuous there.
// theory T17
double Throttle::open_area(double angle) const {
    PLENAIR_EXPECT(bore > 0 && shaft >= 0 && arithmetic::cos(closed_angle) > 0);
    const double s = std::min(shaft / bore, 1.0);
    const double r = std::max(arithmetic::cos(angle), 0.0) / arithmetic::cos(closed_angle);
    if (r <= s) {
        return wide_open_area();
    }
    const double ratio = s / r;
    const double hidden = r * arithmetic::asin(ratio) + s * std::sqrt(1 - ratio * ratio);
    const double fraction = (1 - r) + 2 / std::numbers::pi * (hidden - strip(s));
    return bore_area() * std::max(fraction, 0.0);
}

double Throttle::effective_area(std::optional<double> angle) const {
    const double plate = angle.value_or(0.5 * std::numbers::pi);
    const double coefficient = cd_table ? interpolate(*cd_table, plate) : cd;
    return coefficient * (cd_area == CdArea::bore ? bore_area() : open_area(plate));
}

}  // namespace plenair::geometry
