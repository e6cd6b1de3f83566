#pragma once

#include "solver/ensemble/lane_march.hpp"

/// Body of the files for AVX2, one for each precision.
namespace plenair {

template <class T>
const LaneKernels<T>* avx2_lanes() {
#if defined(__AVX2__)
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) {
        constexpr std::size_t width = 32 / sizeof(T);
        return lanes::table<arithmetic::Pack<T, width, arithmetic::Isa::fast_avx2>>("AVX2");
    }
#endif
    return nullptr;
}

}  // namespace plenair
