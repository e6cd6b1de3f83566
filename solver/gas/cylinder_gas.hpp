#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/gas/mixture.hpp"

namespace plenair::gas {

/// Fresh and burned gas of a cylinder for the inner loop: energies as polynomials of temperature,
/// cp continuous, made at start-up from NASA-9. Energies are sensible: enthalpy is zero at 298.15
/// K, heats of formation are left to the heat release. Y is the mass fraction of fresh gas. Within
/// 200 to 3600 K u is within 150 J/kg and cv within 0.13 % of NASA-9; outside cv keeps its end
/// value.
struct CylinderGas {
    static constexpr double coldest = 200.0, hottest = 3600.0;  // K
    static constexpr int newton_steps = 3;  // square the 2 % of the guess: 1e-3, 1e-7, rounding

    /// One of the two gases.
    struct Component {
        double gas_constant = 0;  ///< [J/kg K]
        arithmetic::Polynomial<10> energy;  ///< u(T) [J/kg]
        arithmetic::Polynomial<4> guess;  ///< T(u) to 2 %
        double lowest = 0, highest = 0;  ///< u at the ends of the range

        [[nodiscard]] double energy_coefficient(std::size_t i) const {
            return energy.coefficient[i];
        }
        template <class R>
        [[nodiscard]] R guess_of(R u) const {
            using arithmetic::max;
            using arithmetic::min;
            return guess(min(max(u, R(lowest)), R(highest)));
        }
    };
    Component fresh, burned;

    CylinderGas() = default;  ///< not fitted: to be assigned
    CylinderGas(const Mixture& fresh_gas, const Mixture& burned_gas)
        : fresh(component(fresh_gas)), burned(component(burned_gas)) {}

    /// [J/kg K]
    template <class R>
    [[nodiscard]] R gas_constant(R y) const {
        return R(burned.gas_constant) + y * R(fresh.gas_constant - burned.gas_constant);
    }

    /// Internal energy [J/kg].
    template <class R>
    [[nodiscard]] R energy(R t, R y) const {
        const R inside = hold(t);
        const R at = mix(fresh.energy(inside), burned.energy(inside), y);
        return at + (t - inside) * cv(t, y);
    }

    /// Heat capacity at constant volume [J/kg K].
    template <class R>
    [[nodiscard]] R cv(R t, R y) const {
        const R inside = hold(t);
        return mix(fresh.energy.slope(inside), burned.energy.slope(inside), y);
    }

    /// Enthalpy [J/kg].
    template <class R>
    [[nodiscard]] R enthalpy(R t, R y) const {
        return energy(t, y) + gas_constant(y) * t;
    }

    /// Ratio of heat capacities.
    template <class R>
    [[nodiscard]] R gamma(R t, R y) const {
        return R(1.0) + gas_constant(y) / cv(t, y);
    }

    /// Temperature [K] of internal energy u [J/kg]: a fitted guess and three Newton steps, which
    /// meet energy(t, y) = u to rounding between 150 and 4500 K.
    template <class R>
    [[nodiscard]] R temperature(R u, R y) const {
        return temperature_after(newton_steps, fresh, burned, u, y);
    }

    /// The same with one Newton step less: within 1e-7 of it, for rates within a time step.
    template <class R>
    [[nodiscard]] R temperature_of_step(R u, R y) const {
        return temperature_of_step(fresh, burned, u, y);
    }

    /// The same of two gases that may be others in each lane.
    template <class Gas, class R>
    [[nodiscard]] static R temperature_of_step(const Gas& fresh, const Gas& burned, R u, R y) {
        return temperature_after(newton_steps - 1, fresh, burned, u, y);
    }

private:
    template <class Gas, class R>
    [[nodiscard]] static R temperature_after(
        int steps, const Gas& fresh, const Gas& burned, R u, R y) {
        constexpr double middle = 0.5 * (coldest + hottest);
        constexpr double scale = 1.0 / (0.5 * (hottest - coldest));
        // one polynomial of this mixture; value and slope share a Horner scheme
        std::array<R, 11> c;
        for (std::size_t i = 0; i < c.size(); ++i)
            c[i] = mix(R(fresh.energy_coefficient(i)), R(burned.energy_coefficient(i)), y);
        R t = mix(fresh.guess_of(u), burned.guess_of(u), y);
        for (int step = 0; step < steps; ++step) {
            const R inside = hold(t);
            const R x = (inside - R(middle)) * R(scale);
            R value = c[10];
            R slope = c[10];
            for (std::size_t i = 9; i > 0; --i) {
                value = value * x + c[i];
                slope = slope * x + value;
            }
            value = value * x + c[0];
            t = inside + (u - value) / (slope * R(scale));
        }
        return t;
    }

    template <class R>
    [[nodiscard]] static R mix(R of_fresh, R of_burned, R y) {
        return of_burned + y * (of_fresh - of_burned);
    }

    template <class R>
    [[nodiscard]] static R hold(R t) {
        using arithmetic::max;
        using arithmetic::min;
        return min(max(t, R(coldest)), R(hottest));
    }

    [[nodiscard]] static Component component(const Mixture& mixture) {
        Component gas;
        gas.gas_constant = mixture.gas_constant();
        // cv is fitted and integrated, so that u and cv belong together and cv has no ripple
        const auto cv = arithmetic::fit_chebyshev<9, 64>(
            [&](double t) { return mixture.cv(t); }, coldest, hottest);
        gas.energy.middle = cv.middle;
        gas.energy.scale = cv.scale;
        for (std::size_t i = 0; i <= 9; ++i)
            gas.energy.coefficient[i + 1] =
                cv.coefficient[i] / (static_cast<double>(i + 1) * cv.scale);
        const double wanted = -gas.gas_constant * reference_temperature;
        gas.energy.coefficient[0] = wanted - gas.energy(reference_temperature);
        gas.lowest = gas.energy(coldest);
        gas.highest = gas.energy(hottest);
        gas.guess = arithmetic::fit_chebyshev<4, 24>(
            [&](double u) { return invert(gas.energy, u); }, gas.lowest, gas.highest);
        return gas;
    }

    [[nodiscard]] static double invert(const arithmetic::Polynomial<10>& energy, double u) {
        double t = 0.5 * (coldest + hottest);
        for (int step = 0; step < 20; ++step)
            t = arithmetic::clamp(t + (u - energy(t)) / energy.slope(t), coldest, hottest);
        return t;
    }
};

}  // namespace plenair::gas
