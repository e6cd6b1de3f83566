#include "solver/network/passage_damping.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

struct MeanGas {
    double p, rho;
};

/// Mean density and static pressure over a footprint, or those of the room.
MeanGas mean(const Network& n,
             const std::vector<double>& s,
             const Footprint& f,
             const Reservoir& room) {
    if (f.weight.empty()) {
        return {room.pressure, room.pressure / room.rt};
    }
    MeanGas sum{0.0, 0.0};
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const auto at = [&](int block) { return s[static_cast<std::size_t>(block + f.first) + j]; };
        const double rho = at(n.layout.rho());
        const double u = at(n.layout.rho_u()) / rho;
        sum.rho += f.weight[j] * rho;
        sum.p += f.weight[j] * (n.gas.gamma - 1.0) * (at(n.layout.rho_e()) - 0.5 * rho * u * u);
    }
    return sum;
}

}  // namespace

double passage_damping(const Network& n, const std::vector<double>& state) {
    double largest = 0.0;
    for (std::size_t i = 0; i < n.passages.size(); ++i) {
        const Passage& p = n.passages[i];
        const double m = state[static_cast<std::size_t>(n.layout.passage_flow()) + i];
        const bool forward = m >= 0.0;
        const MeanGas up =
            forward ? mean(n, state, p.from, p.from_room) : mean(n, state, p.to, p.to_room);
        const MeanGas down =
            forward ? mean(n, state, p.to, p.to_room) : mean(n, state, p.from, p.from_room);
        const double x = std::clamp(1.0 - down.p / up.p, 0.0, 1.0);
        const double re = std::abs(m) * p.hydraulic_diameter / (p.area * n.gas.viscosity);
        const auto& law =
            n.discharges[static_cast<std::size_t>(forward ? p.discharge : p.discharge_reverse)];
        const double k2 =
            law.cd_squared(x, re) * p.area * p.area * up.rho * n.orifice.flow_factor(x);
        // From rest the flow will be as fast as its steady value before the next look.
        const double steady = std::sqrt(x * up.p * k2);
        largest = std::max(largest, 2.0 * std::max(std::abs(m), steady) / (k2 * p.inertance));
    }
    return largest;
}

}  // namespace plenair
