#pragma once

#include <cstddef>

namespace plenair::arithmetic {

/// Two packs that go through a law together: while the processor waits for one it works on the
/// other.
template <class P>
struct Twin {
    static constexpr std::size_t width = 2 * P::width;
    using Element = typename P::Element;
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
    friend Twin operator*(Twin a, Twin b) { return {a.first * b.first, a.second * b.second}; }
    friend Twin operator/(Twin a, Twin b) { return {a.first / b.first, a.second / b.second}; }
    friend Twin operator-(Twin a) { return {-a.first, -a.second}; }
    Twin& operator+=(Twin b) { return *this = *this + b; }
    Twin& operator-=(Twin b) { return *this = *this - b; }
    friend Mask operator<(Twin a, Twin b) { return {a.first < b.first, a.second < b.second}; }
    friend Mask operator>(Twin a, Twin b) { return {a.first > b.first, a.second > b.second}; }
    friend Mask operator>=(Twin a, Twin b) { return {a.first >= b.first, a.second >= b.second}; }
    /// Without a short cut: both halves in one block, or the compiler would fuse them differently.
    friend bool any(Mask m) {
        return static_cast<int>(any(m.first)) + static_cast<int>(any(m.second)) > 0;
    }
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
