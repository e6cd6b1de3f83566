#include "solver/arithmetic/pack.hpp"
#include "solver/network/cell_loop_bodies.hpp"

#include <atomic>

namespace plenair {

namespace {

std::atomic<const CellLoops*> imposed{nullptr};

}  // namespace

void impose_cell_loops(const CellLoops* set) {
    imposed = set;
}

const CellLoops* generic_cell_loops() {
    return kernels::table<arithmetic::Pack<double, 2, arithmetic::Isa::portable>>("generic");
}

const CellLoops& best_cell_loops() {
    if (const CellLoops* set = imposed) {
        return *set;
    }
    static const CellLoops* const best = [] {
        if (const CellLoops* wide = avx512_cell_loops()) {
            return wide;
        }
        if (const CellLoops* wide = avx2_cell_loops()) {
            return wide;
        }
        return generic_cell_loops();
    }();
    return *best;
}

}  // namespace plenair
