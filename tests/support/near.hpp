#pragma once

#include <cmath>
#include <ostream>

/// Expected value with its tolerances: a value passes within `rel` x |expected| + `abs`.
/// With abs = 0 an expected zero is met only by zero. NaN never passes.
struct Near {
    double expected;
    double rel;
    double abs;
};

inline Near near(double expected, double rel, double abs = 0) {
    return {expected, rel, abs};
}

inline bool operator==(double value, const Near& n) {
    return std::abs(value - n.expected) <= n.rel * std::abs(n.expected) + n.abs;
}

inline std::ostream& operator<<(std::ostream& out, const Near& n) {
    const auto digits = out.precision(12);
    out << n.expected << " (rel " << n.rel << ", abs " << n.abs << ")";
    out.precision(digits);
    return out;
}
