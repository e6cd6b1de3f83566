#include "solver/march/coarse_start.hpp"

#include <algorithm>

namespace plenair {

namespace {

constexpr int start_cycles = 12;  // a start that takes longer is not worth it

int cells_of(const Network& n) {
    int cells = 0;
    for (const Chain& chain : n.chains) {
        cells += chain.count;
    }
    return cells;
}

}  // namespace

Model coarse_model(const Model& model) {
    constexpr double ratio = 0.5;
    constexpr double tolerance = 1.5e-3;
    Model coarse = model;
    coarse.refinement *= ratio;
    if (coarse.largest_cell) {
        coarse.largest_cell = *coarse.largest_cell / ratio;
    }
    coarse.tolerance = std::max(model.tolerance, tolerance);
    coarse.max_cycles = std::min(model.max_cycles, start_cycles);
    return coarse;
}

Model start_model(const Model& model) {
    constexpr double tolerance = 1e-3;
    Model start = model;
    start.tolerance = std::max(model.tolerance, tolerance);
    start.max_cycles = std::min(model.max_cycles, start_cycles);
    return start;
}

bool worth_a_start(const Network& coarse, const Network& fine) {
    return 3 * cells_of(coarse) < 2 * cells_of(fine);
}

}  // namespace plenair
