#pragma once

#include "solver/arithmetic/real.hpp"

/// Total-pressure loss of tees on the velocity head of the common (whole-flow) leg; q =
/// branch/common flow, a = branch/main area. Families differ by 7 to 20 %: a tee is known no
/// better.
namespace plenair::reference {

namespace detail {
inline constexpr double right_angle = 1.57079632679489661923;

inline double tangent(double x) {
    return arithmetic::sin(x) / arithmetic::cos(x);
}
}  // namespace detail

/// Gardel 1957, dividing; `angle` [rad] between branch and the downstream run, `radius` of the edge
/// over the main diameter. Coefficients in q are made once.
struct GardelDividing {
    double linear = 0, square = 0;

    GardelDividing() : GardelDividing(1.0) {}
    explicit GardelDividing(double a, double radius = 0.0, double angle = detail::right_angle) {
        const double tan_half = detail::tangent(0.5 * (2.0 * detail::right_angle - angle));
        square = (1.3 * tan_half - 0.3 + (0.4 - 0.1 * a) / (a * a)) *
                 (1.0 - 0.9 * arithmetic::sqrt(radius / a));
        linear = 0.4 * (1.0 + a) / a * tan_half;
    }

    template <class R>
    [[nodiscard]] R branch(R q) const {
        const R p = R(1.0) - q;
        return R(0.95) * p * p + q * (R(linear) + q * R(square));
    }

    template <class R>
    [[nodiscard]] static R run(R q) {
        const R p = R(1.0) - q;
        return R(0.03) * p * p + q * (R(0.35) * q - R(0.2) * p);
    }
};

/// Gardel 1957, combining. The bracket carries +0.8 (1 - 1/a^2), so that the momentum balance
/// holds; a sign slip in some reprints makes a small joining branch gain energy.
struct GardelCombining {
    double area = 1, branch_square = 0, run_square = 0;

    GardelCombining() : GardelCombining(1.0) {}
    explicit GardelCombining(double a, double radius = 0.0, double angle = detail::right_angle)
        : area(a) {
        const double cosine = arithmetic::cos(angle);
        const double root = arithmetic::sqrt(radius);
        branch_square = (1.2 - root) * (cosine / a - 1.0) + 0.8 * (1.0 - 1.0 / (a * a)) -
                        (1.0 / a - 1.0) * cosine;
        run_square = 1.0 + (1.62 - root) * (cosine / a - 1.0) - 0.38 * (1.0 - a);
    }

    template <class R>
    [[nodiscard]] R branch(R q) const {
        const R p = R(1.0) - q;
        return R(2.0 - area) * p * q - R(0.92) * p * p - R(branch_square) * q * q;
    }

    template <class R>
    [[nodiscard]] R run(R q) const {
        const R p = R(1.0) - q;
        return R(0.03) * p * p + R(2.0 - area) * p * q - R(run_square) * q * q;
    }
};

/// Idelchik, Diagrams 7-16 to 7-20, dividing branch; `angle` [rad].
inline double idelchik_dividing_branch(double q, double a, double angle = detail::right_angle) {
    const double narrow = q <= 0.4 ? 1.1 - 0.7 * q : 0.85;
    const double wide = q <= 0.6 ? 1.0 - 0.6 * q : 0.6;
    const double w = q / a;
    return (a <= 0.35 ? narrow : wide) * (1.0 + w * w - 2.0 * w * arithmetic::cos(angle));
}

/// Idelchik, dividing, straight through.
inline double idelchik_dividing_run(double q, double a) {
    const double narrow = 0.4;
    const double wide = (q <= 0.5 ? 2.0 : 0.3) * (2.0 * q - 1.0);
    return (a <= 0.4 ? narrow : wide) * q * q;
}

/// Idelchik, combining 90 degree branch.
inline double idelchik_combining_branch(double q, double a) {
    const double wide = q <= 0.4 ? 0.9 * (1.0 - q) : 0.55;
    const double w = q / a;
    return (a <= 0.35 ? 1.0 : wide) * (1.0 + w * w - 2.0 * (1.0 - q) * (1.0 - q));
}

/// Idelchik, combining, straight through.
inline double idelchik_combining_run(double q) {
    return 1.55 * q - q * q;
}

/// Bassett, Winterbone and Pearson, Proc. IMechE C 215 (2001), dividing branch; `angle` [rad] to
/// the run.
inline double bassett_dividing_branch(double q, double a, double angle = detail::right_angle) {
    const double w = q / a;
    return 1.0 + w * w - 2.0 * w * arithmetic::cos(0.75 * (2.0 * detail::right_angle - angle));
}

/// Bassett, Winterbone and Pearson 2001, dividing, straight through: q^2 - q/2.
inline double bassett_dividing_run(double q) {
    return q * q - 0.5 * q;
}

/// Hudson, Uhler and Bailey, J. Env. Eng. ASCE 105 (1979): entry loss theta_e + phi_e (V/w)^2 on
/// the LATERAL's velocity head; here the pair of a long or a short lateral.
struct Lateral {
    double entry = 0.40;
    double crossflow = 0.90;
};
inline constexpr Lateral long_lateral{0.40, 0.90};
inline constexpr Lateral short_lateral{0.70, 1.67};

/// The same loss on the common velocity head: theta_e (q/a)^2 + phi_e.
template <class R>
[[nodiscard]] R hudson_branch(R q, R a, const Lateral& lateral) {
    const R w = q / a;
    return R(lateral.entry) * w * w + R(lateral.crossflow);
}

/// Static rise along the run on the common velocity head, from a straight-through loss.
template <class R>
[[nodiscard]] R static_rise(R q, R run_loss) {
    const R p = R(1.0) - q;
    return R(1.0) - p * p - run_loss;
}

/// Energy lost per unit of flow by the whole tee on the common velocity head; the second law wants
/// it >= 0.
template <class R>
[[nodiscard]] R tee_dissipation(R q, R branch_loss, R run_loss) {
    return q * branch_loss + (R(1.0) - q) * run_loss;
}

}  // namespace plenair::reference
