#pragma once

#include "solver/arithmetic/product.hpp"

#include <cstddef>
#include <type_traits>

namespace plenair::arithmetic {

/// Two packs that go through a law together: while the processor waits for one it works on the
/// other.
template <class P>
struct Twin {
    static constexpr std::size_t width = 2 * P::width;
    using Element = typename P::Element;
    static constexpr bool fuses = P::fuses;
    using Times = std::conditional_t<fuses, Product<Twin>, Twin>;
    struct Mask {
        typename P::Mask first, second;
    };

    P first, second;

    Twin() = default;
    Twin(double all) : first(all), second(all) {}  // implicit: laws mix numbers and packs
    Twin(P a, P b) : first(a), second(b) {}

    static Twin load(const Element* from) { return {P::load(from), P::load(from + P::width)}; }
    void store(Element* to) const {
        first.store(to);
        second.store(to + P::width);
    }

    friend Twin operator+(Twin a, Twin b) { return {a.first + b.first, a.second + b.second}; }
    friend Twin operator-(Twin a, Twin b) { return {a.first - b.first, a.second - b.second}; }
    friend Times operator*(Twin a, Twin b) {
        if constexpr (fuses) {
            return {a, b};
        } else {
            return multiply(a, b);
        }
    }
    static Twin multiply(Twin a, Twin b) {
        return {P::multiply(a.first, b.first), P::multiply(a.second, b.second)};
    }
    static Twin fused(Twin a, Twin b, Twin c) {
        return {P::fused(a.first, b.first, c.first), P::fused(a.second, b.second, c.second)};
    }
    friend Twin operator/(Twin a, Twin b) { return {a.first / b.first, a.second / b.second}; }
    friend Twin operator-(Twin a) { return {-a.first, -a.second}; }
    Twin& operator+=(Twin b) { return *this = *this + b; }
    Twin& operator-=(Twin b) { return *this = *this - b; }
    Twin& operator+=(Product<Twin> x) { return *this = *this + x; }
    Twin& operator-=(Product<Twin> x) { return *this = *this - x; }
    friend Mask operator<(Twin a, Twin b) { return {a.first < b.first, a.second < b.second}; }
    friend Mask operator>(Twin a, Twin b) { return {a.first > b.first, a.second > b.second}; }
    friend Mask operator>=(Twin a, Twin b) { return {a.first >= b.first, a.second >= b.second}; }
    friend bool any(Mask m) { return any(m.first) || any(m.second); }
    friend Twin select(Mask m, Twin a, Twin b) {
        return {select(m.first, a.first, b.first), select(m.second, a.second, b.second)};
    }
    friend Twin min(Twin a, Twin b) { return {min(a.first, b.first), min(a.second, b.second)}; }
    friend Twin max(Twin a, Twin b) { return {max(a.first, b.first), max(a.second, b.second)}; }
    friend Twin abs(Twin a) { return {abs(a.first), abs(a.second)}; }
    friend Twin sqrt(Twin a) { return {sqrt(a.first), sqrt(a.second)}; }
    friend Twin reciprocal_sqrt(Twin a) {
        return {reciprocal_sqrt(a.first), reciprocal_sqrt(a.second)};
    }
    friend Twin inverse_fifth_root_guess(Twin a) {
        return {inverse_fifth_root_guess(a.first), inverse_fifth_root_guess(a.second)};
    }
};

}  // namespace plenair::arithmetic
