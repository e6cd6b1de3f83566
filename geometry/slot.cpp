#include "geometry/intake.hpp"

namespace plenair::geometry {

double Slot::area() const {
    double sum = 0;
    for (const auto& piece : pieces) {
        sum += piece.area();
    }
    for (const auto& hole : holes) {
        sum += hole.area;
    }
    return sum;
}

}  // namespace plenair::geometry
