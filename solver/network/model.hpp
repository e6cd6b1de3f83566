#pragma once

#include <optional>

namespace plenair {

enum class Friction { off, smooth, rough, darcy };
enum class MouthLaw { lateral, tee };
enum class SlotEdge {
    correlation,
    sharp_exact
};  // McGreehan-Schotsch + Bragg | 0.611 sharp limit + exact curve

/// Coefficients of the model with their defaults; sources in docs/theory.md, bands in
/// cases/study/model_numbers.cpp. All are case-file entries [model].
struct Model {
    double regain = 1.05;  ///< theta
    double crossflow_loss = 0.90;  ///< phi
    std::optional<double> entry_loss;  ///< K0 for every mouth; default from bell radius
    double mixing_length = 3.5;  ///< Lm in step heights
    bool jet = true;
    MouthLaw mouth_law = MouthLaw::lateral;
    SlotEdge slot_edge = SlotEdge::correlation;
    bool slot_compressibility = true;  ///< Bragg correction of the slot's Cd
    Friction friction = Friction::smooth;
    double roughness = 0;  ///< where friction = rough and the part states none [m]
    double darcy = 0;  ///< where friction = darcy
    bool wall_heat = true;
    double refinement = 1;  ///< of the cells: 1 certified, 0.5 coarse, 3 three times finer
    std::optional<double> largest_cell;  ///< [m]
    double courant = 1.7;
    double tolerance = 1e-6;  ///< estimated error of a share at which a cycle is periodic
    int max_cycles = 60;
};

}  // namespace plenair
