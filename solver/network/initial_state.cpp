#include "geometry/contract.hpp"
#include "solver/network/builder.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>

namespace plenair {

std::vector<double> initial_state(const Network& n) {
    const Layout& at = n.layout;
    // Rows of the start and of half a step later.
    PLENAIR_EXPECT(at.cylinders == 0 || (n.crank.cylinders == at.cylinders && n.crank.nodes >= 2));
    std::vector<double> s(static_cast<std::size_t>(at.size()), 0.0);
    const double rho = n.source.pressure / n.source.rt;
    const double energy = n.source.pressure / (n.gas.gamma - 1.0);
    for (int i = 0; i < at.cells; ++i) {
        s[static_cast<std::size_t>(at.rho() + i)] = rho;
        s[static_cast<std::size_t>(at.rho_e() + i)] = energy;
        s[static_cast<std::size_t>(at.rho_y() + i)] = rho * n.source.fresh;
    }
    // Cylinders: filled at source pressure while the intake is open or the charge compressed;
    // burned gas at exhaust pressure where one is being emptied, under pressure where it expands. A
    // charge in a cylinder that is emptied would blow back through the opening intake valve.
    // Forgotten within a cycle.
    const CylinderModel& model = n.cylinder;
    for (int c = 0; c < at.cylinders; ++c) {
        const double volume = n.crank.volume[static_cast<std::size_t>(c)];
        const double largest = model.displacement;
        const bool compressing = n.crank.volume_rate[static_cast<std::size_t>(c)] < 0.0;
        const double fresh_t = n.source.rt / n.gas.gas_constant * 1.1;
        const double intake = n.crank.intake[static_cast<std::size_t>(c)];
        const bool opening = n.crank.intake[static_cast<std::size_t>(at.cylinders + c)] > intake;
        const bool emptied =
            n.crank.exhaust[static_cast<std::size_t>(c)] > 0.0 || (compressing && opening);
        const bool charge = !emptied && (intake > 0.0 || compressing);
        const double y = charge ? 0.95 : 0.0;
        const double r = model.gas.gas_constant(y);
        double t = charge ? fresh_t : 1100.0;
        double mass = (charge ? n.source.pressure : n.exhaust.pressure) * volume / (r * t);
        if (charge && compressing) {
            mass = n.source.pressure * 0.9 * largest / (r * fresh_t);
            t = fresh_t * std::min(arithmetic::pow(largest / volume, 0.35), 2.2);
        } else if (!charge && !emptied) {
            mass = n.source.pressure * 0.9 * largest / (r * fresh_t);
            t = std::min(2400.0, 1300.0 * arithmetic::pow(largest / volume, 0.3));
        }
        const double offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        s[static_cast<std::size_t>(at.cylinder_mass() + c)] = mass;
        s[static_cast<std::size_t>(at.cylinder_energy() + c)] =
            mass * (model.gas.energy(t, y) + offset);
        s[static_cast<std::size_t>(at.cylinder_fresh() + c)] = mass * y;
        s[static_cast<std::size_t>(at.cylinder_motored() + c)] =
            n.source.pressure * arithmetic::pow(largest, 1.35);
    }
    return s;
}

}  // namespace plenair
