#include "solver/arithmetic/pack.hpp"
#include "solver/network/sweep_kernels.hpp"

namespace plenair {

const Sweeps* avx2_sweeps() {
#if defined(__AVX2__)
    return __builtin_cpu_supports("avx2")
               ? kernels::table<arithmetic::Pack<double, 4, arithmetic::Isa::avx2>>("AVX2")
               : nullptr;
#else
    return nullptr;
#endif
}

}  // namespace plenair
