#include "solver/arithmetic/pack.hpp"
#include "solver/network/cell_loop_bodies.hpp"

namespace plenair {

const CellLoops* avx2_cell_loops() {
#if defined(__AVX2__)
    return __builtin_cpu_supports("avx2")
               ? kernels::table<arithmetic::Pack<double, 4, arithmetic::Isa::avx2>>("AVX2")
               : nullptr;
#else
    return nullptr;
#endif
}

}  // namespace plenair
