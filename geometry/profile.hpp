#pragma once

#include <vector>

namespace plenair::geometry {

/// A property along x, piecewise linear between stations, constant outside them [unit of the
/// property]. Stations are ascending in x [m]; one station means a constant.
class Profile final {
public:
    Profile() = default;
    /// The same value at every x.
    static Profile constant(double value);
    /// Value `start` at x = 0 and `end` at x = length, straight between them.
    static Profile linear(double start, double end, double length);
    /// Stations as measured. @throws std::invalid_argument if sizes differ, are zero, or x is not
    /// ascending.
    static Profile stations(std::vector<double> x, std::vector<double> value);

    /// Value at x.
    [[nodiscard]] double at(double x) const;
    /// Integral of the value over [from, to], exact for the piecewise linear form.
    [[nodiscard]] double integral(double from, double to) const;
    /// Integral divided by length, over [from, to].
    [[nodiscard]] double mean(double from, double to) const;
    [[nodiscard]] double smallest() const;
    [[nodiscard]] double largest() const;
    [[nodiscard]] bool empty() const { return value_.empty(); }
    [[nodiscard]] const std::vector<double>& x() const { return x_; }
    [[nodiscard]] const std::vector<double>& value() const { return value_; }

private:
    std::vector<double> x_;
    std::vector<double> value_;
};

}  // namespace plenair::geometry
