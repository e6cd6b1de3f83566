#include "solver/ensemble/lane_march.hpp"

namespace plenair {

const LaneKernels<float>* avx2_single_lanes() {
#if defined(__AVX2__)
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) {
        return lanes::table<arithmetic::Pack<float, 8, arithmetic::Isa::fast_avx2>>("AVX2");
    }
#endif
    return nullptr;
}

}  // namespace plenair
