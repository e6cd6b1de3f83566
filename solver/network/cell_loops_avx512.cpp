#include "solver/arithmetic/pack.hpp"
#include "solver/network/cell_loop_bodies.hpp"

namespace plenair {

const CellLoops* avx512_cell_loops() {
#if defined(__AVX512F__)
    return __builtin_cpu_supports("avx512f")
               ? kernels::table<arithmetic::Pack<double, 8, arithmetic::Isa::avx512>>("AVX-512")
               : nullptr;
#else
    return nullptr;
#endif
}

}  // namespace plenair
