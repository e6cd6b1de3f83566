#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <type_traits>

#include "solver/arithmetic/pack_machine.hpp"
#include "solver/arithmetic/product.hpp"
#include "solver/arithmetic/real.hpp"

/// W numbers that go through a law together: neighbouring cells of one variant, or one cell of W
/// variants. With an exact instruction set each number has the bits of a single double (IEEE
/// operations only); a fast one divides and takes roots by estimate and Newton steps, to rounding,
/// and adds to a product in one operation (Product).
namespace plenair::arithmetic {

template <class T, std::size_t W, Isa isa>
struct Pack {
    static constexpr std::size_t width = W;
    using Element = T;
    using Ops = Machine<T, W, isa>;
    using Vector = typename VectorOf<T, W>::type;
    using Bits = typename VectorOf<T, W>::bits;
    static constexpr bool fuses = Ops::fuses;
    using Times = std::conditional_t<fuses, Product<Pack>, Pack>;

    /// Result of a comparison: all bits set where it holds.
    struct Mask {
        Bits value;
    };

    Vector value;

    Pack() = default;
    Pack(double all)
        : value(Vector{} + static_cast<T>(all)) {}  // implicit: laws mix numbers and packs
    explicit Pack(Vector v) : value(v) {}

    /// W neighbours from memory, any alignment.
    static Pack load(const T* from) {
        Pack p;
        std::memcpy(&p.value, from, sizeof p.value);
        return p;
    }
    void store(T* to) const { std::memcpy(to, &value, sizeof value); }

    friend Pack operator+(Pack a, Pack b) { return Pack(a.value + b.value); }
    friend Pack operator-(Pack a, Pack b) { return Pack(a.value - b.value); }
    friend Times operator*(Pack a, Pack b) {
        if constexpr (fuses) {
            return {a, b};
        } else {
            return multiply(a, b);
        }
    }
    static Pack multiply(Pack a, Pack b) { return Pack(a.value * b.value); }
    /// a b + c, rounded once. @pre fuses
    static Pack fused(Pack a, Pack b, Pack c) {
        return Pack(Ops::fused(a.value, b.value, c.value));
    }
    friend Pack operator/(Pack a, Pack b) { return Pack(Ops::divide(a.value, b.value)); }
    friend Pack operator-(Pack a) { return Pack(-a.value); }
    Pack& operator+=(Pack b) {
        value += b.value;
        return *this;
    }
    Pack& operator-=(Pack b) {
        value -= b.value;
        return *this;
    }
    Pack& operator+=(Product<Pack> x) { return *this = *this + x; }
    Pack& operator-=(Product<Pack> x) { return *this = *this - x; }
    friend Mask operator<(Pack a, Pack b) { return {a.value < b.value}; }
    friend Mask operator>(Pack a, Pack b) { return {a.value > b.value}; }
    friend Mask operator>=(Pack a, Pack b) { return {a.value >= b.value}; }
    friend bool any(Mask m) { return any_set<isa>(m.value); }
    friend Pack select(Mask m, Pack a, Pack b) { return Pack(m.value ? a.value : b.value); }
    friend Pack min(Pack a, Pack b) { return Pack(Ops::min(a.value, b.value)); }
    friend Pack max(Pack a, Pack b) { return Pack(Ops::max(a.value, b.value)); }
    friend Pack abs(Pack a) { return Pack(Ops::abs(a.value)); }
    friend Pack sqrt(Pack a) { return Pack(Ops::sqrt(a.value)); }
    friend Pack reciprocal_sqrt(Pack a) { return Pack(Ops::reciprocal_sqrt(a.value)); }

    /// First guess of x^(-1/5): the exponent divided, the mantissa by the same line, to 3 %.
    friend Pack inverse_fifth_root_guess(Pack x) {
        Bits bits;
        std::memcpy(&bits, &x.value, sizeof bits);
        bits = FifthRootGuess<T>::offset - bits / 5;
        Pack guess;
        std::memcpy(&guess.value, &bits, sizeof bits);
        return guess;
    }
};

}  // namespace plenair::arithmetic
