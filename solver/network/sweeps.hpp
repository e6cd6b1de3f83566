#pragma once

#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"

/// The two loops over all cells that cost most, compiled once per instruction set and chosen when
/// the program starts. All copies give the same bits: only +, -, *, / and square roots, no
/// contraction.
namespace plenair {

/// Cell means of one padded line of chains, one array a quantity: density, volume flow u A (smooth
/// where a step of the section makes u jump), pressure, fresh charge; and 1/area of the faces.
struct CellArrays {
    const double *rho, *volume_flow, *p, *y, *inverse_face_area;
};

/// Fluxes per area, one value a face.
struct FaceArrays {
    double *mass, *carried, *pressure, *energy, *fresh;
};

struct WallArrays {
    const double *rho, *u, *rt, *inverse_diameter, *bend, *wall_rt, *volume;
    double *drag, *heat;
};

/// Friction and heat of one chain.
struct WallLaw {
    const laws::FrictionFit* fit = nullptr;  ///< none: the constant factor
    double darcy = 0;
    bool friction = false, heat = false;
    double viscosity = 0, viscosity_slope = 0, inverse_charge_rt = 0, heat_factor = 0;
    laws::Gnielinski gnielinski;
};

struct Sweeps {
    const char* name;  ///< instruction set
    /// Reconstruction and flux of faces [first, last); face f stands between cells f - 1 and f.
    void (*faces)(const CellArrays&, const FaceArrays&, int first, int last, double gamma);
    /// Wall friction [N] and heat [W] of cells [first, first + count). The last pack may write
    /// beyond, where volume is zero or a later chain writes again.
    void (*walls)(const WallArrays&, const WallLaw&, int first, int count);
};

/// Most numbers that a copy handles at once: arrays need that much room behind their last cell.
inline constexpr int widest_sweep = 8;

[[nodiscard]] const Sweeps& best_sweeps();
[[nodiscard]] const Sweeps* generic_sweeps();
/// Null where the build or the processor has no such instruction set.
[[nodiscard]] const Sweeps* avx2_sweeps();
[[nodiscard]] const Sweeps* avx512_sweeps();

}  // namespace plenair
