#include "solver/network/passage_damping.hpp"

#include "solver/network/passage_law.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

struct MeanGas {
    double p, p0, rho, u;
};

/// Mean pressures, density and velocity over a footprint, or those of the room.
MeanGas mean(const Network& n,
             const std::vector<double>& s,
             const Footprint& f,
             const Reservoir& room) {
    if (f.weight.empty()) {
        return {room.pressure, room.pressure, room.pressure / room.rt, 0.0};
    }
    MeanGas sum{0.0, 0.0, 0.0, 0.0};
    for (std::size_t j = 0; j < f.weight.size(); ++j) {
        const auto at = [&](int block) { return s[static_cast<std::size_t>(block + f.first) + j]; };
        const double rho = at(n.layout.rho());
        const double u = at(n.layout.rho_u()) / rho;
        const double p = (n.gas.gamma - 1.0) * (at(n.layout.rho_e()) - 0.5 * rho * u * u);
        sum.rho += f.weight[j] * rho;
        sum.u += f.weight[j] * u;
        sum.p += f.weight[j] * p;
        sum.p0 += f.weight[j] * (p + 0.5 * rho * u * u);
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
        MeanGas from = mean(n, state, p.from, p.from_room);
        const MeanGas to = mean(n, state, p.to, p.to_room);
        if (p.upstream_static && !p.from.weight.empty()) {
            const double out = m / (from.rho * p.from.area);
            const auto v = approach(from.u, out, from.rho, n.model.regain);
            from.p = pressure_beside(v, from.p0, from.rho);
        }
        const MeanGas &up = forward ? from : to, &down = forward ? to : from;
        const double x = std::clamp(1.0 - down.p / up.p, 0.0, 1.0);
        const double re = std::abs(m) * p.hydraulic_diameter / (p.area * n.gas.viscosity);
        const auto& law =
            n.discharges[static_cast<std::size_t>(forward ? p.discharge : p.discharge_reverse)];
        const double k2 =
            law.cd_squared(x, re) * p.area * p.area * up.rho * n.orifice.flow_factor(x);
        largest = std::max(largest, passage_return(m, x, up.p, k2, 1.0 / p.inertance));
    }
    return largest;
}

}  // namespace plenair
