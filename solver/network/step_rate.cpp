#include "geometry/contract.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/fixed_numbers.hpp"
#include "solver/network/passage_damping.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

double fastest_rate(const Network& n, const Waves& waves) {
    PLENAIR_EXPECT(waves.speed.size() == n.chains.size());
    double acoustic = 0.0;
    for (std::size_t c = 0; c < n.chains.size(); ++c) {
        acoustic = std::max(acoustic, waves.speed[c] / n.chains[c].dx);
    }
    double passage_mode_squared = 0.0;
    const double a2 = n.gas.gamma * n.source.rt;
    for (const Passage& p : n.passages) {
        double compliance = 0.0;
        for (const Footprint* f : {&p.from, &p.to}) {
            for (std::size_t j = 0; j < f->weight.size(); ++j) {
                compliance += f->weight[j] * f->weight[j] *
                              n.inverse_volume[static_cast<std::size_t>(f->first) + j];
            }
        }
        passage_mode_squared = std::max(passage_mode_squared, a2 * compliance / p.inertance);
        if (n.chains.empty()) {
            // An insert between two rooms has no wave: its air column passes in the time sound
            // needs through it.
            acoustic = std::max(acoustic, std::sqrt(a2) / (p.inertance * p.area));
        }
    }
    // theory T61
    const double wave = acoustic / n.model.courant;
    return std::max(
        std::sqrt(wave * wave + passage_mode_squared / (imaginary_axis * imaginary_axis)),
        waves.damping / real_axis);
}

double fastest_rate(const Network& n, const std::vector<double>& state) {
    const Layout& at = n.layout;
    PLENAIR_EXPECT(state.size() == static_cast<std::size_t>(at.size()));
    const auto value = [&](int block, int i) { return state[static_cast<std::size_t>(block + i)]; };
    Waves waves{{}, passage_damping(n, state)};
    for (const Chain& chain : n.chains) {
        double speed = 0.0;
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double rho = value(at.rho(), i);
            const double u = value(at.rho_u(), i) / rho;
            const double rt = (n.gas.gamma - 1.0) * (value(at.rho_e(), i) / rho - 0.5 * u * u);
            speed = std::max(speed, std::abs(u) + std::sqrt(n.gas.gamma * rt));
        }
        waves.speed.push_back(speed);
    }
    return fastest_rate(n, waves);
}

}  // namespace plenair
