#include "geometry/contract.hpp"
#include "solver/network/builder.hpp"

#include "solver/arithmetic/real.hpp"
#include "solver/laws/woschni.hpp"

#include <algorithm>

namespace plenair {

namespace {

// The first cycle's cylinders: guesses of common practice, forgotten within a cycle.
constexpr double charge_warmth = 1.1;  // temperature of a charge over that of the source
constexpr double charge_fresh = 0.95;  // mass fraction, the rest being residual gas
constexpr double filling = 0.9;  // trapped over displacement at source density and that warmth
// T V^0.35 while a charge is compressed. Not written as the exponent of the pressure less one,
// which is another double.
constexpr double compression_exponent = 0.35;
static_assert(laws::motored_exponent - 1.0 - compression_exponent < 1e-15 &&
              compression_exponent - (laws::motored_exponent - 1.0) < 1e-15);
constexpr double most_compression = 2.2;  // of the temperature
constexpr double emptied_temperature = 1100.0;  // of burned gas that leaves [K]
// Burned gas that expands: T V^0.3 on this temperature at full displacement, flames at most [K].
constexpr double expansion_exponent = 0.3;
constexpr double expanded_temperature = 1300.0;
constexpr double flame_temperature = 2400.0;

}  // namespace

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
        const double fresh_t = n.source.rt / n.gas.gas_constant * charge_warmth;
        const double intake = n.crank.intake[static_cast<std::size_t>(c)];
        const bool opening = n.crank.intake[static_cast<std::size_t>(at.cylinders + c)] > intake;
        const bool emptied =
            n.crank.exhaust[static_cast<std::size_t>(c)] > 0.0 || (compressing && opening);
        const bool charge = !emptied && (intake > 0.0 || compressing);
        const double y = charge ? charge_fresh : 0.0;
        const double r = model.gas.gas_constant(y);
        double t = charge ? fresh_t : emptied_temperature;
        double mass = (charge ? n.source.pressure : n.exhaust.pressure) * volume / (r * t);
        if (charge && compressing) {
            mass = n.source.pressure * filling * largest / (r * fresh_t);
            t = fresh_t *
                std::min(arithmetic::pow(largest / volume, compression_exponent), most_compression);
        } else if (!charge && !emptied) {
            mass = n.source.pressure * filling * largest / (r * fresh_t);
            t = std::min(
                flame_temperature,
                expanded_temperature * arithmetic::pow(largest / volume, expansion_exponent));
        }
        const double offset = y * model.offset_fresh + (1.0 - y) * model.offset_burned;
        s[static_cast<std::size_t>(at.cylinder_mass() + c)] = mass;
        s[static_cast<std::size_t>(at.cylinder_energy() + c)] =
            mass * (model.gas.energy(t, y) + offset);
        s[static_cast<std::size_t>(at.cylinder_fresh() + c)] = mass * y;
        s[static_cast<std::size_t>(at.cylinder_motored() + c)] =
            n.source.pressure * arithmetic::pow(largest, laws::motored_exponent);
    }
    return s;
}

}  // namespace plenair
