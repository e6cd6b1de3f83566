#pragma once

#include <array>
#include <cstddef>

#include "solver/arithmetic/polynomial.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/arithmetic/table.hpp"

/// Discharge coefficient of a slot from its land and edge radius. Lengths are over the hydraulic
/// diameter Dh = 4 A/P, twice the width of a long slot; Reynolds numbers on Dh.
namespace plenair::laws {

/// Bragg, J. Mech. Eng. Sci. 2 (1960) 35-44: coefficient (rows: downstream/upstream pressure,
/// columns: incompressible coefficient). Five entries of the digitised table broke the smooth run
/// of both their row and their column and were repaired from it, each by one digit: (0.20, 0.60)
/// 0.828 -> 0.838, (0.25, 0.50) 0.747 -> 0.737, (0.30, 0.50) 0.733 -> 0.723, (0.50, 0.85) 0.949 ->
/// 0.939, and (1, 0.457) 0.454 -> 0.457, its own heading.
inline constexpr std::array<double, 19> bragg_ratio = {0.0,
                                                       0.1,
                                                       0.15,
                                                       0.2,
                                                       0.25,
                                                       0.3,
                                                       0.35,
                                                       0.4,
                                                       0.45,
                                                       0.5,
                                                       0.55,
                                                       0.6,
                                                       0.65,
                                                       0.7,
                                                       0.75,
                                                       0.8,
                                                       0.85,
                                                       0.9,
                                                       1.0};
inline constexpr std::array<double, 12> bragg_incompressible = {
    0.457, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.0};
inline constexpr std::array<std::array<double, 12>, 19> bragg_coefficient = {{
    {0.754, 0.789, 0.833, 0.87, 0.902, 0.929, 0.952, 0.97, 0.983, 0.992, 0.999, 1.0},
    {0.735, 0.77, 0.815, 0.855, 0.89, 0.92, 0.946, 0.966, 0.9805, 0.991, 0.999, 1.0},
    {0.724, 0.76, 0.805, 0.846, 0.882, 0.912, 0.94, 0.962, 0.98, 0.99, 0.998, 1.0},
    {0.712, 0.749, 0.796, 0.838, 0.875, 0.908, 0.936, 0.958, 0.978, 0.989, 0.998, 1.0},
    {0.701, 0.737, 0.783, 0.827, 0.867, 0.9, 0.93, 0.953, 0.975, 0.988, 0.998, 1.0},
    {0.688, 0.723, 0.771, 0.815, 0.855, 0.89, 0.921, 0.948, 0.97, 0.985, 0.997, 1.0},
    {0.672, 0.709, 0.758, 0.801, 0.842, 0.88, 0.913, 0.941, 0.965, 0.981, 0.995, 1.0},
    {0.655, 0.691, 0.74, 0.786, 0.83, 0.869, 0.903, 0.935, 0.958, 0.98, 0.992, 1.0},
    {0.633, 0.672, 0.72, 0.769, 0.811, 0.852, 0.889, 0.923, 0.95, 0.973, 0.99, 1.0},
    {0.61, 0.65, 0.7, 0.749, 0.792, 0.835, 0.873, 0.909, 0.939, 0.967, 0.988, 1.0},
    {0.59, 0.628, 0.675, 0.725, 0.773, 0.815, 0.854, 0.89, 0.926, 0.956, 0.981, 1.0},
    {0.57, 0.606, 0.655, 0.704, 0.751, 0.794, 0.836, 0.874, 0.911, 0.943, 0.975, 1.0},
    {0.549, 0.588, 0.638, 0.685, 0.732, 0.778, 0.82, 0.86, 0.9, 0.935, 0.97, 1.0},
    {0.53, 0.572, 0.621, 0.67, 0.718, 0.761, 0.808, 0.849, 0.89, 0.928, 0.964, 1.0},
    {0.514, 0.558, 0.607, 0.654, 0.7, 0.749, 0.796, 0.838, 0.881, 0.92, 0.96, 1.0},
    {0.5, 0.543, 0.592, 0.641, 0.689, 0.736, 0.785, 0.829, 0.874, 0.915, 0.958, 1.0},
    {0.488, 0.531, 0.58, 0.63, 0.678, 0.725, 0.775, 0.82, 0.867, 0.91, 0.954, 1.0},
    {0.477, 0.52, 0.569, 0.619, 0.668, 0.716, 0.766, 0.812, 0.86, 0.907, 0.952, 1.0},
    {0.457, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.0},
}};

/// Bragg's table read at one incompressible coefficient, cubic between its points, then a function
/// of the pressure ratio. Below a coefficient of 0.457 the ratio of that column is kept.
class BraggColumn {
public:
    explicit BraggColumn(double incompressible) {
        PLENAIR_EXPECT(incompressible > 0.0);
        const double column = arithmetic::clamp(incompressible, bragg_incompressible.front(), 1.0);
        for (std::size_t i = 0; i < along_.size(); ++i)
            along_[i] =
                arithmetic::smooth_table(bragg_incompressible, bragg_coefficient[i], column) *
                (incompressible / column);
    }

    double operator()(double pressure_ratio) const {
        return arithmetic::smooth_table(bragg_ratio, along_, pressure_ratio);
    }

private:
    std::array<double, bragg_ratio.size()> along_{};
};

/// Contraction of the jet from a sharp slit in a thin infinite wall, exact for plane subsonic
/// potential flow (Chaplygin 1904, hodograph): 1/Cc = 1 + (8/pi) sum (-1)^(n+1) n x_n/(4 n^2 - 1),
/// with x_n = d ln z_n/(n d ln tau), z_n = tau^n F(a, b; 2n + 1; tau). r is held at the critical
/// ratio below it. The alternating sum is accelerated (Cohen, Rodriguez Villegas, Zagier 2000);
/// error below 1e-10.
/// theory T22
inline double sharp_slit(double r, double gamma) {
    PLENAIR_EXPECT(gamma > 1.0);
    constexpr double pi = 3.14159265358979323846;
    constexpr int terms = 18;
    const double beta = 1.0 / (gamma - 1.0);
    const double critical = arithmetic::pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0));
    const double ratio = arithmetic::clamp(r, critical, 1.0);
    const double tau = 1.0 - arithmetic::pow(ratio, (gamma - 1.0) / gamma);
    double weight_sum = 1.0;  // (3 + sqrt 8)^terms
    for (int i = 0; i < terms; ++i) weight_sum *= 3.0 + arithmetic::sqrt(8.0);
    weight_sum = 0.5 * (weight_sum + 1.0 / weight_sum);
    double b = -1.0;
    double c = -weight_sum;
    double sum = 0.0;
    for (int k = 0; k < terms; ++k) {
        const double n = k + 1.0;
        // (a)_k (b)_k from a + b and a b, which need no root
        const double total = 2.0 * n - beta;
        const double product = -beta * n * (2.0 * n + 1.0);
        double term = 1.0;
        double value = 1.0;
        double weighted = 0.0;
        for (int i = 0; i < 160; ++i) {
            term *= (product + i * total + static_cast<double>(i) * i) /
                    ((2.0 * n + 1.0 + i) * (i + 1.0)) * tau;
            value += term;
            weighted += (i + 1.0) * term;
        }
        const double slope = 1.0 + weighted / (n * value);
        c = b - c;
        sum += c * n * slope / (4.0 * n * n - 1.0);
        b *= (k + terms) * (k - terms) / ((k + 0.5) * (k + 1.0));
    }
    return 1.0 / (1.0 + 8.0 / pi * sum / weight_sum);
}

/// Incompressible coefficient of McGreehan and Schotsch, ASME 87-GT-162 (1988), which is linear in
/// 1/Re: Cd0 = a + b/Re. The Reynolds number is held at 5000 below it, where the correlation has no
/// data.
/// theory T21
struct EdgeCoefficient {
    static constexpr double smallest_reynolds = 5.0e3;
    double a = 0.5885;
    double b = 372.0;

    template <class R>
    [[nodiscard]] R operator()(R re) const {
        using arithmetic::max;
        return R(a) + R(b) / max(re, R(smallest_reynolds));
    }
};

/// Base coefficient of a thin opening: the round hole of the correlation, or the plane slit pi/(pi
/// + 2).
enum class ThinLimit { round_hole, slit };

/// `land` (thickness) and `radius` (inlet edge) over Dh. With ThinLimit::slit a land below 0.3 Dh
/// takes 0.611 in place of 0.5885; up to 0.375 Dh the difference fades out, so that a sweep has no
/// step and thicker slots keep the published law.
inline EdgeCoefficient mcgreehan_schotsch(double land,
                                          double radius,
                                          ThinLimit limit = ThinLimit::round_hole) {
    using arithmetic::exp;
    PLENAIR_EXPECT(land >= 0.0 && radius >= 0.0);
    const double fade = arithmetic::clamp((0.375 - land) / 0.075, 0.0, 1.0);
    const double base = limit == ThinLimit::slit ? 0.5885 + (0.611 - 0.5885) * fade : 0.5885;
    const double f = 0.008 + 0.992 * exp(-5.5 * radius - 3.5 * radius * radius);
    const double straight = arithmetic::max(land - radius, 0.0);
    const double g = (1.0 + 1.3 * exp(-1.606 * straight * straight)) * (0.435 + 0.021 * straight) /
                     (2.3 * 0.435);
    return {1.0 - g * f * (1.0 - base), g * f * 372.0};
}

/// Coefficient of one slot for the inner loop: Cd^2 = Cd0(Re)^2 (1 + x Q(x)), x = 1 - p2/p1, with Q
/// a polynomial: within 0.001 in Cd of the exact slit, within 0.0025 of Bragg's table for 0 <= x <=
/// 0.9, whose three digits are uneven by as much; it smooths them. Made at start-up.
struct SlotDischarge {
    EdgeCoefficient edge{0.611, 0.0};
    double reference = 0.611;  ///< Cd0 for which Q was made
    arithmetic::Polynomial<7> growth;

    static constexpr double largest_x = 0.9;
    static constexpr std::size_t growth_count = 8;

    /// McGreehan-Schotsch with Bragg; `reynolds` where Bragg's column is read (Cd0 varies little).
    [[nodiscard]] static SlotDischarge correlation(double land,
                                                   double radius,
                                                   double reynolds,
                                                   ThinLimit limit = ThinLimit::round_hole,
                                                   bool compressible = true) {
        SlotDischarge slot;
        slot.edge = mcgreehan_schotsch(land, radius, limit);
        slot.reference = slot.edge(reynolds);
        if (compressible) slot.fit(BraggColumn(slot.reference));
        return slot;
    }

    /// A measured or imposed coefficient.
    [[nodiscard]] static SlotDischarge measured(double cd, bool compressible = true) {
        SlotDischarge slot;
        slot.edge = {cd, 0.0};
        slot.reference = cd;
        if (compressible) slot.fit(BraggColumn(cd));
        return slot;
    }

    /// The exact plane slit; below the critical ratio Bragg's rise, joined to it.
    [[nodiscard]] static SlotDischarge sharp_exact(double gamma, bool compressible = true) {
        constexpr double pi = 3.14159265358979323846;
        SlotDischarge slot;
        slot.edge = {pi / (pi + 2.0), 0.0};
        slot.reference = slot.edge.a;
        const double critical = arithmetic::pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0));
        const BraggColumn below(slot.reference);
        const double join = sharp_slit(critical, gamma) / below(critical);
        if (compressible)
            slot.fit(
                [=](double r) { return r > critical ? sharp_slit(r, gamma) : join * below(r); });
        return slot;
    }

    /// Cd^2 at the reference Cd0.
    template <class R>
    [[nodiscard]] R cd_squared(R x) const {
        return R(reference * reference) * rise(x);
    }

    /// Cd^2 at this Reynolds number.
    template <class R>
    [[nodiscard]] R cd_squared(R x, R re) const {
        const R coefficient = edge(re);
        return coefficient * coefficient * rise(x);
    }

    /// The same from bare numbers, which may be packs: Cd0 = a + b/Re and the coefficients of Q.
    template <class R>
    [[nodiscard]] static R squared(
        R a, R b, const std::array<R, growth_count>& coefficients, R x, R re) {
        using arithmetic::max;
        using arithmetic::min;
        const R cd = a + b / max(re, R(EdgeCoefficient::smallest_reynolds));
        const arithmetic::Polynomial<7, R> q{coefficients, 0.5 * largest_x, 2.0 / largest_x};
        const R inside = max(min(x, R(largest_x)), R(0.0));
        return cd * cd * (R(1.0) + inside * q(inside));
    }

private:
    template <class R>
    [[nodiscard]] R rise(R x) const {
        using arithmetic::max;
        using arithmetic::min;
        const R inside = max(min(x, R(largest_x)), R(0.0));
        return R(1.0) + inside * growth(inside);
    }

    template <class Law>
    void fit(Law&& law) {
        growth = arithmetic::fit_chebyshev<7, 64>(
            [&](double x) {
                const double ratio = law(1.0 - x) / reference;
                return (ratio * ratio - 1.0) / x;
            },
            0.0,
            largest_x);
    }
};

}  // namespace plenair::laws
