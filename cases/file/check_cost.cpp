#include "cases/file/build.hpp"
#include "cases/study/cost.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::file {
namespace {

/// The text that makes a point affordable, as the value of an entry.
std::string cells_of(double cell) {
    return fmt::format("\"largest cell {} mm\"", geometry::format_number(1e3 * cell, 3));
}

}  // namespace

void check_cost(const Scope& root, const Case& c, Messages& messages) {
    if (!c.has_engine) {
        return;
    }
    const auto& points = root.list("point");
    const Value* cells = root.good("model.cells");
    double enough = 0;  // cell, of the point that asks for the largest
    std::string finest;
    for (std::size_t i = 0; i < points.size() && i < c.points.size(); ++i) {
        const OperatingPoint& point = c.points[i];
        const TooCostly refused = too_costly(c, point);
        const Value* speed = points[i].good("point.speed");
        if (refused.why.empty() || speed == nullptr) {
            continue;
        }
        const auto why = fmt::format("point '{}' is too much: {}", point.name, refused.why);
        if (cells != nullptr && refused.cell > 0) {
            if (refused.cell > enough) {
                enough = refused.cell;
                finest = why;
            }
        } else if (refused.speed > 0) {
            refuse(messages,
                   *speed,
                   fmt::format("{}; write \"{} rpm\" or more",
                               why,
                               geometry::format_in(refused.speed, "rpm", 4)));
        } else {
            refuse(messages, *speed, why + "; make the part longer, or leave it out");
        }
    }
    if (enough > 0) {
        refuse(messages, *cells, fmt::format("{}; write {} or larger", finest, cells_of(enough)));
    }
}

}  // namespace plenair::file
