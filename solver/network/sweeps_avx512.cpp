#include "solver/arithmetic/pack.hpp"
#include "solver/network/sweep_kernels.hpp"

namespace plenair {

const Sweeps* avx512_sweeps() {
#if defined(__AVX512F__)
    return __builtin_cpu_supports("avx512f")
               ? kernels::table<arithmetic::Pack<double, 8, arithmetic::Isa::avx512>>("AVX-512")
               : nullptr;
#else
    return nullptr;
#endif
}

}  // namespace plenair
