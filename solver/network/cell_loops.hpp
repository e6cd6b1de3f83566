#pragma once

#include "solver/network/wall_law.hpp"

/// The loops over all cells of one variant, compiled once per instruction set and chosen when the
/// program starts. All copies give the same bits: only +, -, *, / and square roots, no contraction.
namespace plenair {

/// State of one padded line of chains, and what follows from it, one array a quantity.
struct StateArrays {
    const double *rho, *rho_u, *rho_e, *rho_y, *section;
};
struct PrimitiveArrays {
    double *rho, *u, *flow, *rt, *p, *y;
};

/// Cell means: density, volume flow u A (smooth where a step of the section makes u jump),
/// pressure, fresh charge; and 1/area of the faces.
struct CellArrays {
    const double *rho, *flow, *p, *y, *inverse_face_area;
};

/// Fluxes per area, one value a face.
struct FaceArrays {
    double *mass, *carried, *pressure, *energy, *fresh;
};

/// What changes a cell, apart from its faces.
struct SourceArrays {
    const double *mass, *momentum, *energy, *fresh;
    const double *drag, *viscous, *heat, *wall_rt;  ///< wall factors
    const double *rho, *u, *rt, *p;
    const double *thrust, *face_area, *inverse_volume;
};
struct RateArrays {
    double *rho, *rho_u, *rho_e, *rho_y;
};

struct WallArrays {
    const double *rho, *u, *rt, *inverse_diameter, *bend, *volume;
    double *drag, *viscous, *heat;
};

struct CellLoops {
    const char* name;  ///< instruction set
    void (*primitives)(const StateArrays&, const PrimitiveArrays&, int cells, double gamma);
    /// Reconstruction and flux of faces [first, last); face f stands between cells f - 1 and f.
    void (*faces)(const CellArrays&, const FaceArrays&, int first, int last, double gamma);
    /// Rates of all cells from the fluxes of their faces and their sources.
    void (*rates)(const FaceArrays&, const SourceArrays&, const RateArrays&, int cells);
    /// Wall factors of cells [first, first + count). The last pack may write beyond, where volume
    /// is zero or a later chain writes again.
    void (*walls)(const WallArrays&,
                  const WallLaw&,
                  const WallNumbers<double>&,
                  const laws::Gnielinski&,
                  int first,
                  int count);
    /// The same with faces that keep to their cells at strong jumps, for small steps; null: these
    /// are they.
    const CellLoops* first_order_at_jumps;
};

/// Most numbers that a copy handles at once: arrays need that much room behind their last cell.
inline constexpr int widest_pack = 8;

/// The widest set of this processor, unless another one was imposed.
[[nodiscard]] const CellLoops& best_cell_loops();
/// Imposes one of the sets below on what is built from now on, to compare them; null: the widest.
void impose_cell_loops(const CellLoops* set);
[[nodiscard]] const CellLoops* generic_cell_loops();
/// Null where the build or the processor has no such instruction set.
[[nodiscard]] const CellLoops* avx2_cell_loops();
[[nodiscard]] const CellLoops* avx512_cell_loops();

}  // namespace plenair
