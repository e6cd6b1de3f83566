#include "solver/arithmetic/twin.hpp"
#include "solver/ensemble/lane_march.hpp"

namespace plenair {

const LaneKernels<float>* avx512_single_lanes() {
#if defined(__AVX512F__)
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) {
        return lanes::table<arithmetic::Pack<float, 16, arithmetic::Isa::fast_avx512>>("AVX-512");
    }
#endif
    return nullptr;
}

const LaneKernels<float>* avx512_single_twins() {
#if defined(__AVX512F__)
    if (avx512_single_lanes() != nullptr) {
        using Pack = arithmetic::Pack<float, 16, arithmetic::Isa::fast_avx512>;
        return lanes::table<arithmetic::Twin<Pack>>("AVX-512, in pairs");
    }
#endif
    return nullptr;
}

}  // namespace plenair
