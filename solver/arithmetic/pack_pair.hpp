#pragma once

#include "solver/arithmetic/product.hpp"

#include <cstddef>
#include <type_traits>

namespace plenair::arithmetic {

/// Two packs that go through a law together: while the processor waits for one it works on the
/// other.
template <class P>
struct PackPair {
    static constexpr std::size_t width = 2 * P::width;
    using Element = typename P::Element;
    static constexpr bool fuses = P::fuses;
    using Times = std::conditional_t<fuses, Product<PackPair>, PackPair>;
    struct Mask {
        typename P::Mask first, second;
    };

    P first, second;

    PackPair() = default;
    PackPair(double all) : first(all), second(all) {}  // implicit: laws mix numbers and packs
    PackPair(P a, P b) : first(a), second(b) {}

    static PackPair load(const Element* from) { return {P::load(from), P::load(from + P::width)}; }
    void store(Element* to) const {
        first.store(to);
        second.store(to + P::width);
    }

    friend PackPair operator+(PackPair a, PackPair b) {
        return {a.first + b.first, a.second + b.second};
    }
    friend PackPair operator-(PackPair a, PackPair b) {
        return {a.first - b.first, a.second - b.second};
    }
    friend Times operator*(PackPair a, PackPair b) {
        if constexpr (fuses) {
            return {a, b};
        } else {
            return multiply(a, b);
        }
    }
    static PackPair multiply(PackPair a, PackPair b) {
        return {P::multiply(a.first, b.first), P::multiply(a.second, b.second)};
    }
    static PackPair fused(PackPair a, PackPair b, PackPair c) {
        return {P::fused(a.first, b.first, c.first), P::fused(a.second, b.second, c.second)};
    }
    friend PackPair operator/(PackPair a, PackPair b) {
        return {a.first / b.first, a.second / b.second};
    }
    friend PackPair operator-(PackPair a) { return {-a.first, -a.second}; }
    PackPair& operator+=(PackPair b) { return *this = *this + b; }
    PackPair& operator-=(PackPair b) { return *this = *this - b; }
    PackPair& operator+=(Product<PackPair> x) { return *this = *this + x; }
    PackPair& operator-=(Product<PackPair> x) { return *this = *this - x; }
    friend Mask operator<(PackPair a, PackPair b) {
        return {a.first < b.first, a.second < b.second};
    }
    friend Mask operator>(PackPair a, PackPair b) {
        return {a.first > b.first, a.second > b.second};
    }
    friend Mask operator>=(PackPair a, PackPair b) {
        return {a.first >= b.first, a.second >= b.second};
    }
    friend bool any(Mask m) { return any(m.first) || any(m.second); }
    friend PackPair select(Mask m, PackPair a, PackPair b) {
        return {select(m.first, a.first, b.first), select(m.second, a.second, b.second)};
    }
    friend PackPair min(PackPair a, PackPair b) {
        return {min(a.first, b.first), min(a.second, b.second)};
    }
    friend PackPair max(PackPair a, PackPair b) {
        return {max(a.first, b.first), max(a.second, b.second)};
    }
    friend PackPair abs(PackPair a) { return {abs(a.first), abs(a.second)}; }
    friend PackPair sqrt(PackPair a) { return {sqrt(a.first), sqrt(a.second)}; }
    friend PackPair reciprocal_sqrt(PackPair a) {
        return {reciprocal_sqrt(a.first), reciprocal_sqrt(a.second)};
    }
    friend PackPair inverse_fifth_root_guess(PackPair a) {
        return {inverse_fifth_root_guess(a.first), inverse_fifth_root_guess(a.second)};
    }
};

}  // namespace plenair::arithmetic
