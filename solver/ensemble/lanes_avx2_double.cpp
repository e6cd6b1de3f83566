#include "solver/ensemble/lane_march.hpp"

namespace plenair {

const LaneKernels<double>* avx2_double_lanes() {
#if defined(__AVX2__)
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) {
        return lanes::table<arithmetic::Pack<double, 4, arithmetic::Isa::fast_avx2>>("AVX2");
    }
#endif
    return nullptr;
}

}  // namespace plenair
