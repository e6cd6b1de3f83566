#include "cases/study/bands.hpp"

#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace plenair {

namespace {

// A band is read to a tenth of a percent: its points need not be as periodic as the answer itself.
constexpr double band_tolerance = 2e-5;
constexpr double coefficient_doubt = 0.05;  // of a discharge coefficient of slot or throttle

struct Variant {
    Model model;
    geometry::Intake intake;
};

using Change = std::function<void(Variant&, bool high)>;

void scale_slots(Variant& v, bool high) {
    const double factor = high ? 1.0 + coefficient_doubt : 1.0 - coefficient_doubt;
    for (auto& bank : v.intake.banks) {
        if (!bank.slot) {
            continue;
        }
        // Cd and width enter the flow as one product; a change of width stands for one of Cd.
        for (auto& piece : bank.slot->pieces) {
            std::vector<double> width = piece.width.value();
            for (double& w : width) {
                w *= factor;
            }
            piece.width = geometry::Profile::stations(piece.width.x(), width);
        }
    }
}

void scale_throttles(Variant& v, bool high) {
    for (auto& bank : v.intake.banks) {
        for (auto& throttle : bank.throttles) {
            throttle.cd = std::min(
                throttle.cd * (high ? 1.0 + coefficient_doubt : 1.0 - coefficient_doubt), 1.0);
        }
    }
}

std::vector<Change> changes() {
    return {[](Variant& v, bool high) { v.model.regain = high ? 1.20 : 0.90; },
            [](Variant& v, bool high) { v.model.crossflow_loss = high ? 1.0 : 0.6; },
            [](Variant& v, bool high) { v.model.mixing_length = high ? 4.3 : 2.6; },
            scale_slots,
            scale_throttles};
}

PointResult solve_moved(const Case& c,
                        const OperatingPoint& point,
                        const Change& change,
                        bool high) {
    Variant v{c.model, c.intake};
    v.model.tolerance = std::max(c.model.tolerance, band_tolerance);
    change(v, high);
    return solve_point(v.intake, c.engine, point, v.model, {});
}

}  // namespace

double bias_band(const Case& c, const OperatingPoint& point, const PointResult& nominal) {
    if (!nominal.converged) {
        return 0.0;
    }
    double sum = 0.0;
    for (const auto& change : changes()) {
        double largest = 0.0;
        for (const bool high : {false, true}) {
            const PointResult r = solve_moved(c, point, change, high);
            if (!r.converged) {
                continue;
            }
            for (std::size_t i = 0; i < r.cylinders.size(); ++i) {
                largest =
                    std::max(largest, std::abs(r.cylinders[i].bias - nominal.cylinders[i].bias));
            }
        }
        sum += largest * largest;
    }
    return std::sqrt(sum);
}

MovedSpreads moved_spreads(const Case& c, const OperatingPoint& point) {
    MovedSpreads spreads;
    for (const auto& change : changes()) {
        auto& ends = spreads.emplace_back();
        for (const bool high : {false, true}) {
            const PointResult r = solve_moved(c, point, change, high);
            if (r.converged) {
                ends[high ? 1 : 0] = r.spread;
            }
        }
    }
    return spreads;
}

double difference_band(double first_spread,
                       const MovedSpreads& first_moved,
                       double second_spread,
                       const MovedSpreads& second_moved) {
    double sum = 0.0;
    for (std::size_t k = 0; k < std::min(first_moved.size(), second_moved.size()); ++k) {
        double largest = 0.0;
        for (std::size_t end = 0; end < 2; ++end) {
            if (first_moved[k][end] && second_moved[k][end]) {
                const double moved = *first_moved[k][end] - *second_moved[k][end];
                largest = std::max(largest, std::abs(moved - (first_spread - second_spread)));
            }
        }
        sum += largest * largest;
    }
    return std::sqrt(sum);
}

}  // namespace plenair
