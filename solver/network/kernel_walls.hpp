#pragma once

#include "solver/network/kernel_class.hpp"
#include "solver/network/wall_law.hpp"

/// Wall friction and wall heat, held over a step: their factors change slowly.
namespace plenair {

/// Whether a stage of a Runge-Kutta step, counted from 0, evaluates the wall laws, where they are
/// held: the second one, half a step on, so that what is held over the last stages and the first of
/// the next step lies about the middle; and the first where what went before does not count.
[[nodiscard]] inline bool evaluates_wall_laws(int stage, bool goes_on) {
    return stage == 1 || (stage == 0 && !goes_on);
}

/// Whether a step goes on with what the one before held: not the first of a cycle, which depends on
/// its start alone, nor then the first of any of as many equal parts as there are cylinders, so
/// that in an engine that fires evenly all cylinders are treated alike.
[[nodiscard]] inline bool holds_from_before(int step, int steps, int cylinders) {
    return step * cylinders % steps >= cylinders;
}

template <class R>
void Kernel<R>::wall_factors() {
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        if (!chain.has_friction && !chain.has_heat) {
            // The pack before may have written here.
            for (int i = chain.first; i < chain.first + chain.count; ++i) {
                set(w_.drag, index(i), R(0.0));
                set(w_.viscous, index(i), R(0.0));
                set(w_.heat, index(i), R(0.0));
            }
            continue;
        }
        const WallLaw law = wall_law(chain);
        WallNumbers<R> numbers;
        numbers.darcy = at(d_.darcy, c);
        numbers.viscosity = point(Numbers<T>::viscosity);
        numbers.viscosity_slope = point(Numbers<T>::viscosity_slope);
        numbers.inverse_charge_rt = point(Numbers<T>::inverse_charge_rt);
        numbers.heat_factor = point(Numbers<T>::heat_factor);
        if (chain.friction >= 0) {
            // Every fit runs over the same range.
            const auto& fit = n_.frictions[index(chain.friction)].turbulent;
            numbers.fit.middle = fit.middle;
            numbers.fit.scale = fit.scale;
        }
        for (std::size_t k = 0; k < numbers.fit.coefficient.size(); ++k) {
            numbers.fit.coefficient[k] = at(d_.friction, c * Numbers<T>::friction_count + k);
        }
        if constexpr (single) {
            loops_->walls({w_.rho.data(),
                           w_.u.data(),
                           w_.rt.data(),
                           d_.inverse_diameter.data(),
                           d_.bend.data(),
                           d_.volume.data(),
                           w_.drag.data(),
                           w_.viscous.data(),
                           w_.heat.data()},
                          law,
                          numbers,
                          gnielinski_,
                          chain.first,
                          chain.count);
            continue;
        }
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const std::size_t j = index(i);
            const WallFactors<R> f = wall_factors_of(law,
                                                     numbers,
                                                     gnielinski_,
                                                     WallCell<R>{at(w_.rho, j),
                                                                 at(w_.u, j),
                                                                 at(w_.rt, j),
                                                                 at(d_.inverse_diameter, j),
                                                                 at(d_.bend, j),
                                                                 at(d_.volume, j)});
            set(w_.drag, j, f.drag);
            set(w_.viscous, j, f.viscous);
            set(w_.heat, j, f.heat);
        }
    }
}

}  // namespace plenair
