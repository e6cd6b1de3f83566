#pragma once

#include "solver/arithmetic/real.hpp"

namespace plenair::laws {

/// Burned fraction 1 - exp(-a y^(m+1)) (Wiebe 1956; Heywood 1988, eq. 9.30); y runs from 0 at the
/// start to 1 at the end of the burning and is held outside.
/// theory T32
template <class R>
[[nodiscard]] R wiebe(R y, R a, R m) {
    using arithmetic::exp;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::pow;
    const R inside = min(max(y, R(0.0)), R(1.0));
    return R(1.0) - exp(-a * pow(inside, m + R(1.0)));
}

/// d(burned fraction)/dy; 0 outside 0 to 1.
template <class R>
[[nodiscard]] R wiebe_rate(R y, R a, R m) {
    using arithmetic::exp;
    using arithmetic::max;
    using arithmetic::min;
    using arithmetic::pow;
    using arithmetic::select;
    const R inside = min(max(y, R(0.0)), R(1.0));
    const R power = pow(inside, m);
    const R rate = a * (m + R(1.0)) * power * exp(-a * power * inside);
    return select(y < R(0.0), R(0.0), select(y > R(1.0), R(0.0), rate));
}

}  // namespace plenair::laws
