#pragma once

#include <cstddef>
#include <cstring>

#include "solver/arithmetic/real.hpp"

/// W numbers that go through a law together. Element by element the same bits as double: IEEE
/// operations only. Isa tells apart the copies compiled for different instruction sets, so that
/// none stands in for another.
namespace plenair::arithmetic {

/// The compiler's own vectors; sizes that depend on a template argument are not portable, so they
/// are listed.
template <std::size_t W>
struct VectorOf;
template <>
struct VectorOf<2> {
    using type = double __attribute__((vector_size(16)));
};
template <>
struct VectorOf<4> {
    using type = double __attribute__((vector_size(32)));
};
template <>
struct VectorOf<8> {
    using type = double __attribute__((vector_size(64)));
};

template <std::size_t W, int Isa>
struct Pack {
    static constexpr std::size_t width = W;
    using Vector = typename VectorOf<W>::type;

    Vector value;

    Pack() = default;
    Pack(double all) : value(Vector{} + all) {}  // implicit: laws mix numbers and packs
    explicit Pack(Vector v) : value(v) {}

    /// W neighbours from memory, any alignment.
    static Pack load(const double* from) {
        Pack p;
        std::memcpy(&p.value, from, sizeof p.value);
        return p;
    }
    void store(double* to) const { std::memcpy(to, &value, sizeof value); }

    friend Pack operator+(Pack a, Pack b) { return Pack(a.value + b.value); }
    friend Pack operator-(Pack a, Pack b) { return Pack(a.value - b.value); }
    friend Pack operator*(Pack a, Pack b) { return Pack(a.value * b.value); }
    friend Pack operator/(Pack a, Pack b) { return Pack(a.value / b.value); }
    friend Pack operator-(Pack a) { return Pack(-a.value); }
    friend Pack min(Pack a, Pack b) { return Pack(a.value < b.value ? a.value : b.value); }
    friend Pack max(Pack a, Pack b) { return Pack(a.value > b.value ? a.value : b.value); }
    friend Pack abs(Pack a) { return Pack(a.value < 0.0 ? -a.value : a.value); }
    friend Pack sqrt(Pack a) {
        Pack root;
        for (std::size_t i = 0; i < W; ++i) {
            root.value[i] = __builtin_sqrt(a.value[i]);
        }
        return root;
    }
};

}  // namespace plenair::arithmetic
