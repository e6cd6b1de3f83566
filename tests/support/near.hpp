#pragma once

#include <cmath>
#include <ostream>

/// Expected value with its tolerances: a value passes within `rel` x |expected| + `abs`.
/// With abs = 0 an expected zero is met only by zero. NaN never passes.
struct near {
    double expected;
    double rel;
    double abs;
    near(double expected_value, double relative, double absolute = 0)
        : expected(expected_value), rel(relative), abs(absolute) {}
};

inline bool operator==(double value, const near& n) {
    return std::abs(value - n.expected) <= n.rel * std::abs(n.expected) + n.abs;
}

inline std::ostream& operator<<(std::ostream& out, const near& n) {
    const auto digits = out.precision(12);
    out << n.expected << " (rel " << n.rel << ", abs " << n.abs << ")";
    out.precision(digits);
    return out;
}
