#pragma once

#include <boost/numeric/odeint/stepper/stepper_categories.hpp>

#include <cstddef>
#include <vector>

namespace plenair {

/// The classical Runge-Kutta method of four stages and fourth order as a Boost.Odeint stepper that
/// marches in place and allocates nothing after its first call. Stage times t, t + h/2, t + h/2,
/// t + h. With fifth-order upwind cells it is stable to a Courant number of 1.73 for full upwinding
/// and 1.86 for the tenth of it that slow sound gets here; three-stage and strong-stability methods
/// end at 1.34 and 1.63.
/// @source Hairer E., Norsett S. P., Wanner G. 1993, Solving Ordinary Differential Equations I, 2nd
/// ed., sec. II.1, table 1.2.
/// theory T61
class RungeKutta4 final {
public:
    using state_type = std::vector<double>;
    using deriv_type = std::vector<double>;
    using value_type = double;
    using time_type = double;
    using order_type = unsigned short;
    using stepper_category = boost::numeric::odeint::stepper_tag;

    static order_type order() { return 4; }

    /// One step of length h from t, in place. `system(x, dxdt, t)`.
    template <class System>
    void do_step(System&& system, state_type& x, time_type t, time_type h) {
        start_ = x;
        sum_.resize(x.size());
        rate_.resize(x.size());
        const double half = 0.5 * h;
        const std::size_t size = x.size();
        system(x, sum_, t);
        for (std::size_t i = 0; i < size; ++i) {
            x[i] = start_[i] + half * sum_[i];
        }
        for (const double length : {half, h}) {
            system(x, rate_, t + half);
            for (std::size_t i = 0; i < size; ++i) {
                sum_[i] += 2.0 * rate_[i];
                x[i] = start_[i] + length * rate_[i];
            }
        }
        system(x, rate_, t + h);
        const double sixth = h / 6.0;
        for (std::size_t i = 0; i < size; ++i) {
            x[i] = start_[i] + sixth * (sum_[i] + rate_[i]);
        }
    }

private:
    std::vector<double> start_, sum_, rate_;
};

}  // namespace plenair
