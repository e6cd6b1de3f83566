#include "solver/arithmetic/pack.hpp"
#include "solver/network/sweep_kernels.hpp"

namespace plenair {

const Sweeps* generic_sweeps() {
    return kernels::table<arithmetic::Pack<double, 2, arithmetic::Isa::portable>>("generic");
}

const Sweeps& best_sweeps() {
    static const Sweeps* const best = [] {
        if (const Sweeps* wide = avx512_sweeps()) {
            return wide;
        }
        if (const Sweeps* wide = avx2_sweeps()) {
            return wide;
        }
        return generic_sweeps();
    }();
    return *best;
}

}  // namespace plenair
