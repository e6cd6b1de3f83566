#pragma once

namespace plenair::gas {

/// What the laws of a perfect gas take of it: one number each, or one for each variant.
template <class C>
struct PerfectGas {
    C gamma;
    C k;  ///< (gamma - 1)/gamma
    C h_per_rt;  ///< gamma/(gamma - 1)
};

[[nodiscard]] constexpr PerfectGas<double> perfect_gas(double gamma) {
    return {gamma, (gamma - 1.0) / gamma, gamma / (gamma - 1.0)};
}

}  // namespace plenair::gas
