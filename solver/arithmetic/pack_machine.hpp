#pragma once

#include <cstddef>
#include <cstdint>

#include "solver/arithmetic/real.hpp"

#if defined(__AVX512F__) || defined(__AVX2__)
#include <immintrin.h>
#endif

/// What instruction sets do to a vector of numbers. Isa tells apart the copies compiled for
/// different instruction sets, so that none stands in for another.
namespace plenair::arithmetic {

/// Exact sets give every number the bits of a single double; fast ones are for many variants.
enum class Isa { portable, avx2, avx512, fast_portable, fast_avx2, fast_avx512 };

/// The compiler's own vectors; sizes that depend on a template argument are not portable, so they
/// are listed.
template <class T, std::size_t W>
struct VectorOf;
template <>
struct VectorOf<double, 2> {
    using type = double __attribute__((vector_size(16)));
    using bits = std::int64_t __attribute__((vector_size(16)));
};
template <>
struct VectorOf<double, 4> {
    using type = double __attribute__((vector_size(32)));
    using bits = std::int64_t __attribute__((vector_size(32)));
};
template <>
struct VectorOf<double, 8> {
    using type = double __attribute__((vector_size(64)));
    using bits = std::int64_t __attribute__((vector_size(64)));
};
template <>
struct VectorOf<float, 4> {
    using type = float __attribute__((vector_size(16)));
    using bits = std::int32_t __attribute__((vector_size(16)));
};
template <>
struct VectorOf<float, 8> {
    using type = float __attribute__((vector_size(32)));
    using bits = std::int32_t __attribute__((vector_size(32)));
};
template <>
struct VectorOf<float, 16> {
    using type = float __attribute__((vector_size(64)));
    using bits = std::int32_t __attribute__((vector_size(64)));
};

/// Whether a comparison holds anywhere. The set is named so that copies stay apart.
template <Isa isa, class Bits>
[[nodiscard, gnu::always_inline]] inline bool any_set(Bits bits) {
#if defined(__AVX512F__)
    if constexpr (sizeof(Bits) == 64) {
        return _mm512_test_epi64_mask((__m512i)bits, (__m512i)bits) != 0;
    }
#endif
#if defined(__AVX2__)
    if constexpr (sizeof(Bits) == 32) {
        return _mm256_testz_si256((__m256i)bits, (__m256i)bits) == 0;
    }
#endif
    bool found = false;
    for (std::size_t i = 0; i < sizeof(Bits) / sizeof(bits[0]); ++i) {
        found |= bits[i] != 0;
    }
    return found;
}

/// Operations that instruction sets have their own words for; here the compiler's.
template <class T, std::size_t W, Isa isa>
struct Machine {
    using Vector = typename VectorOf<T, W>::type;
    static constexpr bool fuses = false;  ///< whether there is `fused`: a b + c, rounded once

    static Vector divide(Vector a, Vector b) { return a / b; }
    static Vector min(Vector a, Vector b) { return a < b ? a : b; }
    static Vector max(Vector a, Vector b) { return a > b ? a : b; }
    static Vector abs(Vector a) { return a < T(0) ? -a : a; }
    static Vector sqrt(Vector a) {
        Vector root;
        for (std::size_t i = 0; i < W; ++i) {
            if constexpr (sizeof(T) == sizeof(double)) {
                root[i] = __builtin_sqrt(a[i]);
            } else {
                root[i] = __builtin_sqrtf(a[i]);
            }
        }
        return root;
    }
    static Vector reciprocal_sqrt(Vector a) { return T(1) / sqrt(a); }
};

#if defined(__AVX512F__)

// Estimates carry 14 bits; each Newton step doubles them. The masked forms are the plain ones to
// the processor; gcc 12 warns of the plain ones falsely (GCC bug 105593).
template <>
struct Machine<double, 8, Isa::fast_avx512> {
    using Vector = VectorOf<double, 8>::type;
    static constexpr __mmask8 all = 0xff;
    static constexpr bool fuses = true;

    static Vector fused(Vector a, Vector b, Vector c) {
        return (Vector)_mm512_fmadd_pd((__m512d)a, (__m512d)b, (__m512d)c);
    }
    static Vector divide(Vector a, Vector b) {
        // (1 + e)(1 + e^2) is 1/(1 - e) to e^4.
        const Vector y = (Vector)_mm512_maskz_rcp14_pd(all, (__m512d)b);
        const Vector e = fused(-b, y, Vector{} + 1.0);
        const Vector first = fused(y, e, y);
        return a * fused(first, e * e, first);
    }
    static Vector min(Vector a, Vector b) {
        return (Vector)_mm512_maskz_min_pd(all, (__m512d)a, (__m512d)b);
    }
    static Vector max(Vector a, Vector b) {
        return (Vector)_mm512_maskz_max_pd(all, (__m512d)a, (__m512d)b);
    }
    static Vector abs(Vector a) { return (Vector)_mm512_abs_pd((__m512d)a); }
    static Vector reciprocal_sqrt(Vector a) {
        const Vector y = estimate(a);
        return fused(y, correction(a * y, y), y);
    }
    static Vector sqrt(Vector a) {
        const Vector least = Vector{} + 1e-280;  // the root of zero without 0 x infinity
        const Vector y = estimate(max(a, least));
        const Vector root = a * y;
        return fused(root, correction(root, y), root);
    }

private:
    static Vector estimate(Vector a) { return (Vector)_mm512_maskz_rsqrt14_pd(all, (__m512d)a); }
    /// 1/sqrt(1 - e) - 1 with e = 1 - a y^2 below 2^-13: its series leaves out e^4.
    static Vector correction(Vector root, Vector y) {
        const Vector e = fused(-root, y, Vector{} + 1.0);
        const Vector rest = fused(e, Vector{} + 0.3125, Vector{} + 0.375);
        return e * fused(e, rest, Vector{} + 0.5);
    }
};

template <>
struct Machine<float, 16, Isa::fast_avx512> {
    using Vector = VectorOf<float, 16>::type;
    static constexpr __mmask16 all = 0xffff;
    static constexpr bool fuses = true;

    static Vector fused(Vector a, Vector b, Vector c) {
        return (Vector)_mm512_fmadd_ps((__m512)a, (__m512)b, (__m512)c);
    }
    static Vector divide(Vector a, Vector b) {
        const Vector y = (Vector)_mm512_maskz_rcp14_ps(all, (__m512)b);
        return a * fused(y, fused(-b, y, Vector{} + 1.0F), y);
    }
    static Vector min(Vector a, Vector b) {
        return (Vector)_mm512_maskz_min_ps(all, (__m512)a, (__m512)b);
    }
    static Vector max(Vector a, Vector b) {
        return (Vector)_mm512_maskz_max_ps(all, (__m512)a, (__m512)b);
    }
    static Vector abs(Vector a) { return (Vector)_mm512_abs_ps((__m512)a); }
    static Vector reciprocal_sqrt(Vector a) {
        const Vector y = (Vector)_mm512_maskz_rsqrt14_ps(all, (__m512)a);
        return y * fused(-0.5F * a * y, y, Vector{} + 1.5F);
    }
    static Vector sqrt(Vector a) {
        const Vector least = Vector{} + 1e-30F;
        const Vector y = (Vector)_mm512_maskz_rsqrt14_ps(all, (__m512)max(a, least));
        const Vector root = a * y;
        return root * fused(-0.5F * root, y, Vector{} + 1.5F);
    }
};

#endif

#if defined(__AVX2__) && defined(__FMA__)

template <>
struct Machine<double, 4, Isa::fast_avx2> {
    using Vector = VectorOf<double, 4>::type;
    static constexpr bool fuses = true;

    static Vector fused(Vector a, Vector b, Vector c) {
        return (Vector)_mm256_fmadd_pd((__m256d)a, (__m256d)b, (__m256d)c);
    }
    static Vector divide(Vector a, Vector b) { return a / b; }
    static Vector min(Vector a, Vector b) { return (Vector)_mm256_min_pd((__m256d)a, (__m256d)b); }
    static Vector max(Vector a, Vector b) { return (Vector)_mm256_max_pd((__m256d)a, (__m256d)b); }
    static Vector abs(Vector a) {
        return (Vector)_mm256_andnot_pd(_mm256_set1_pd(-0.0), (__m256d)a);
    }
    static Vector sqrt(Vector a) { return (Vector)_mm256_sqrt_pd((__m256d)a); }
    static Vector reciprocal_sqrt(Vector a) { return 1.0 / sqrt(a); }
};

template <>
struct Machine<float, 8, Isa::fast_avx2> {
    using Vector = VectorOf<float, 8>::type;
    static constexpr bool fuses = true;

    static Vector fused(Vector a, Vector b, Vector c) {
        return (Vector)_mm256_fmadd_ps((__m256)a, (__m256)b, (__m256)c);
    }
    static Vector divide(Vector a, Vector b) { return a / b; }
    static Vector min(Vector a, Vector b) { return (Vector)_mm256_min_ps((__m256)a, (__m256)b); }
    static Vector max(Vector a, Vector b) { return (Vector)_mm256_max_ps((__m256)a, (__m256)b); }
    static Vector abs(Vector a) {
        return (Vector)_mm256_andnot_ps(_mm256_set1_ps(-0.0F), (__m256)a);
    }
    static Vector sqrt(Vector a) { return (Vector)_mm256_sqrt_ps((__m256)a); }
    static Vector reciprocal_sqrt(Vector a) { return 1.0F / sqrt(a); }
};

#endif

}  // namespace plenair::arithmetic
