#pragma once

#include <boost/numeric/odeint/stepper/stepper_categories.hpp>

#include <cstddef>
#include <vector>

namespace plenair {

/// Strong-stability-preserving Runge-Kutta method of four stages and third order, low-storage form,
/// as a Boost.Odeint stepper: true Courant number 2 for one evaluation and register more than three
/// stages need. Stage times t, t + h/2, t + h, t + h/2.
/// @source Spiteri R. J., Ruuth S. J. 2002, SIAM J. Numer. Anal. 40(2), 469-491, SSP(4,3).
class SspRk43 final {
public:
    using state_type = std::vector<double>;
    using deriv_type = std::vector<double>;
    using value_type = double;
    using time_type = double;
    using order_type = unsigned short;
    using stepper_category = boost::numeric::odeint::stepper_tag;

    static order_type order() { return 3; }

    /// One step of length h from t, in place. `system(x, dxdt, t)`; nothing is allocated after the
    /// first call.
    template <class System>
    void do_step(System&& system, state_type& x, time_type t, time_type h) {
        start_ = x;
        rate_.resize(x.size());
        const double half = 0.5 * h;
        const std::size_t size = x.size();
        system(x, rate_, t);
        for (std::size_t i = 0; i < size; ++i) {
            x[i] += half * rate_[i];
        }
        system(x, rate_, t + half);
        for (std::size_t i = 0; i < size; ++i) {
            x[i] += half * rate_[i];
        }
        system(x, rate_, t + h);
        for (std::size_t i = 0; i < size; ++i) {
            x[i] = (2.0 / 3.0) * start_[i] + (1.0 / 3.0) * (x[i] + half * rate_[i]);
        }
        system(x, rate_, t + half);
        for (std::size_t i = 0; i < size; ++i) {
            x[i] += half * rate_[i];
        }
    }

private:
    std::vector<double> start_, rate_;
};

}  // namespace plenair
