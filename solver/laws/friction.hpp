#pragma once

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"

/// Darcy friction factor of round pipes; Re on the bore, `roughness` over the bore.
namespace plenair::laws {

inline constexpr double log10_of_e = 0.43429448190325182765;

/// Colebrook 1939, solved: 1/sqrt(f) = -2 lg(e/3.7 + 2.51/(Re sqrt(f))).
/// theory T11
inline double colebrook(double re, double roughness) {
    PLENAIR_EXPECT(re > 0.0 && roughness >= 0.0);
    double x =
        6.0;  // 1/sqrt(f); Newton's method, the function is concave: it closes in from one side
    for (int i = 0; i < 12; ++i) {
        const double inside = roughness / 3.7 + 2.51 * x / re;
        const double value = x + 2.0 * log10_of_e * arithmetic::log(inside);
        const double slope = 1.0 + 2.0 * log10_of_e * 2.51 / (re * inside);
        x -= value / slope;
    }
    return 1.0 / (x * x);
}

/// Darcy factor for the inner loop: Colebrook of one relative roughness as a polynomial in
/// y = Re^(-1/4) over Re 2e3 to 1e8 (within 0.2 %), 64/Re below Re 2000, joined with continuous
/// slope up to Re 4000. Two roots and one division, no logarithm. Re is held at 1 and 1e8 outside.
struct FrictionFit {
    double roughness = 0;  ///< over the bore
    double laminar = 64.0;  ///< f Re of laminar flow
    arithmetic::Polynomial<8> turbulent;

    FrictionFit() : FrictionFit(0.0) {}
    explicit FrictionFit(double relative_roughness) : roughness(relative_roughness) {
        const auto at = [](double re) { return 1.0 / arithmetic::sqrt(arithmetic::sqrt(re)); };
        turbulent = arithmetic::fit_chebyshev<8, 32>(
            [relative_roughness](double y) {
                return colebrook(1.0 / (y * y * y * y), relative_roughness);
            },
            at(1e8),
            at(2e3));
    }

    /// The same factor at every Reynolds number.
    [[nodiscard]] static FrictionFit constant(double darcy) {
        FrictionFit fit;
        fit.laminar = 0.0;
        fit.turbulent = {};
        fit.turbulent.coefficient[0] = darcy;
        return fit;
    }

    /// The two regimes that meet in a factor f = laminar_share laminar/Re + turbulent.
    template <class R>
    struct Parts {
        R factor, laminar_share, turbulent;
    };

    /// At a Reynolds number, with a polynomial whose coefficients may be packs.
    template <class R, class C>
    [[nodiscard]] static Parts<R> parts_of(const arithmetic::Polynomial<8, C>& turbulent,
                                           R laminar,
                                           R re) {
        using arithmetic::max;
        using arithmetic::min;
        using arithmetic::reciprocal_sqrt;
        using arithmetic::select;
        using arithmetic::sqrt;
        const R inside = min(max(re, R(1.0)), R(1e8));
        const R y = reciprocal_sqrt(sqrt(inside));
        const R in_fit = turbulent(min(y, R(largest_y)));
        const R t = min(max((inside - R(2000.0)) * R(1.0 / 2000.0), R(0.0)), R(1.0));
        const R weight = t * t * (R(3.0) - R(2.0) * t);
        const R smooth = laminar * (y * y) * (y * y);
        const auto has_laminar = laminar > R(0.0);
        return {select(has_laminar, smooth + weight * (in_fit - smooth), in_fit),
                select(has_laminar, R(1.0) - weight, R(0.0)),
                select(has_laminar, weight * in_fit, in_fit)};
    }

private:
    static constexpr double largest_y = 0.14953487812212205;  // 2000^(-1/4)
};

}  // namespace plenair::laws
