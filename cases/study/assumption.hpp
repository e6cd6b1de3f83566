#pragma once

#include <cmath>
#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace plenair {

struct Case;

/// An entry of the case that nobody has confirmed yet: the file lists it in [assumed].
struct Assumption {
    std::string key;  ///< "engine.rod"
    std::string value;  ///< as understood, "131 mm (5.157 in)"
    std::string basis;  ///< why it was taken so
    std::string within;  ///< half width of its band as written, "12 %"; empty: none stated
    double part = 0;  ///< that half width over the value, where it is stated so [-]; else 0
    double half = 0;  ///< that half width, where it is stated in the entry's unit [SI]; else 0
    /// The case with the entry at the low or the high end of its band; empty where that cannot be
    /// built. No function without `within`.
    std::function<std::shared_ptr<const Case>(bool high)> end = {};

    /// Half width of its band about a number [SI]; 0: no band.
    [[nodiscard]] double half_about(double number) const { return half + part * std::abs(number); }
};

/// "engine.rod = 131 mm (5.157 in), within 12 %: common practice"
[[nodiscard]] std::string assumption_text(const Assumption& assumption);

/// How many of them have a band of their own.
[[nodiscard]] std::size_t banded(const std::vector<Assumption>& assumed);

/// " and 3 assumed entries": what a band is made of besides the model's coefficients; empty where
/// no assumed entry has a band.
[[nodiscard]] std::string band_source(const std::vector<Assumption>& assumed);

/// "engine.rod, valve.intake.cd": all keys.
[[nodiscard]] std::string assumed_keys(const std::vector<Assumption>& assumed);

}  // namespace plenair
