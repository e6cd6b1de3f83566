#include "solver/arithmetic/pack.hpp"
#include "solver/network/sweep_kernels.hpp"

#include <atomic>

namespace plenair {

namespace {

std::atomic<const Sweeps*> imposed{nullptr};

}  // namespace

void impose_sweeps(const Sweeps* set) {
    imposed = set;
}

const Sweeps* generic_sweeps() {
    return kernels::table<arithmetic::Pack<double, 2, arithmetic::Isa::portable>>("generic");
}

const Sweeps& best_sweeps() {
    if (const Sweeps* set = imposed) {
        return *set;
    }
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
