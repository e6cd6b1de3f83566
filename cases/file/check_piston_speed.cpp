#include "cases/file/build.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string_view>

namespace plenair::file {

void check_piston_speed(const Scope& root, const Case& c, Messages& messages) {
    // Racing engines run at 25 to 28 m/s, none has run at 40: common practice. Far beyond, nothing
    // that is computed has been seen on an engine.
    constexpr double most = 50.0;  // m/s
    if (!c.has_engine) {
        return;
    }
    const std::string_view length = c.units.in_place_of("mm");
    const double fastest = most * std::numbers::pi / c.engine.stroke;
    const auto check = [&](const Scope& scope, const char* key) {
        const Value* speed = scope.good(key);
        if (speed == nullptr || speed->number() <= fastest) {
            return;
        }
        refuse(messages,
               *speed,
               fmt::format(
                   "a mean piston speed of {:.0f} m/s with a stroke of {} {}, at most {:.0f} "
                   "(racing engines: 25 to 28); check engine.stroke, or write \"{:.0f} rpm\" or "
                   "less",
                   c.engine.stroke * speed->number() / std::numbers::pi,
                   geometry::format_in(c.engine.stroke, length, 4),
                   length,
                   most,
                   std::floor(geometry::to_unit(fastest, "rpm") / 10.0) * 10.0));
    };
    for (const Scope& point : root.list("point")) {
        check(point, "point.speed");
    }
    for (const Scope& curve : root.list("curve")) {
        check(curve, "curve.to");
    }
}

}  // namespace plenair::file
