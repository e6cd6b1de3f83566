#include "solver/network/cells.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr double least_cells = 6;
constexpr double runner_cell =
    0.022;  // certified; as fine as chambers of usual bores, so no shorter steps

}  // namespace

double chamber_cells(const geometry::Bank& bank, double length, const Model& model) {
    double cell = length / header_cells;
    if (!bank.runners.empty() && bank.plenum) {
        double bore = bank.runners.front().mouth_diameter();
        for (const auto& runner : bank.runners) {
            bore = std::min(bore, runner.mouth_diameter());
        }
        cell = std::max(0.5 * bore, 0.008);
    }
    cell /= model.refinement;
    if (model.largest_cell) {
        cell = *model.largest_cell;
    }
    return std::max(least_cells, std::ceil(length / cell - 1e-9));
}

double runner_cells(const geometry::Runner& runner, const Model& model) {
    const double cell = model.largest_cell ? *model.largest_cell : runner_cell / model.refinement;
    return std::max(least_cells, std::round(runner.length / cell));
}

}  // namespace plenair
