#pragma once

#include "solver/arithmetic/pack_pair.hpp"
#include "solver/ensemble/lane_march.hpp"

/// Body of the files for AVX-512, one for each precision.
namespace plenair {

#if defined(__AVX512F__)
template <class T>
using Avx512Pack = arithmetic::Pack<T, 64 / sizeof(T), arithmetic::Isa::fast_avx512>;
#endif

template <class T>
const LaneKernels<T>* avx512_lanes() {
#if defined(__AVX512F__)
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) {
        return lanes::table<Avx512Pack<T>>("AVX-512");
    }
#endif
    return nullptr;
}

template <class T>
const LaneKernels<T>* avx512_pairs() {
#if defined(__AVX512F__)
    if (avx512_lanes<T>() != nullptr) {
        return lanes::table<arithmetic::PackPair<Avx512Pack<T>>>("AVX-512, in pairs");
    }
#endif
    return nullptr;
}

}  // namespace plenair
