#include "geometry/contract.hpp"
#include "geometry/intake.hpp"

#include <algorithm>
#include <cstddef>
#include <numbers>
#include <vector>

namespace plenair::geometry {

namespace {

double circle(double diameter) {
    return 0.25 * std::numbers::pi * diameter * diameter;
}

}  // namespace

// The area between two diameters is a parabola; 32 chords follow it to 1e-6 of the area where the
// diameter changes by a tenth.
Profile Runner::area() const {
    PLENAIR_EXPECT(!diameter.empty());
    constexpr int chords = 32;
    const auto& stop = diameter.x();
    const auto& bore = diameter.value();
    std::vector<double> station{stop.front()};
    std::vector<double> section{circle(bore.front())};
    for (std::size_t i = 1; i < stop.size(); ++i) {
        const int pieces = bore[i] == bore[i - 1] ? 1 : chords;
        for (int k = 1; k < pieces; ++k) {
            const double part = static_cast<double>(k) / pieces;
            station.push_back(stop[i - 1] + part * (stop[i] - stop[i - 1]));
            section.push_back(circle(bore[i - 1] + part * (bore[i] - bore[i - 1])));
        }
        station.push_back(stop[i]);
        section.push_back(circle(bore[i]));
    }
    return Profile::stations(station, section);
}

double Runner::mouth_area() const {
    return circle(mouth_diameter());
}

// Frustum by frustum, so exact.
double Runner::volume() const {
    std::vector<double> cut{0.0};
    for (const double stop : diameter.x()) {
        if (stop > 0 && stop < length) {
            cut.push_back(stop);
        }
    }
    cut.push_back(length);
    double sum = 0;
    for (std::size_t i = 1; i < cut.size(); ++i) {
        const double first = diameter.at(cut[i - 1]);
        const double last = diameter.at(cut[i]);
        sum += std::numbers::pi / 12 * (cut[i] - cut[i - 1]) *
               (first * first + first * last + last * last);
    }
    return sum;
}

}  // namespace plenair::geometry
