#pragma once

#include "solver/laws/heat.hpp"
#include "solver/network/lane_crank.hpp"
#include "solver/network/network.hpp"
#include "solver/network/numbers.hpp"
#include "solver/network/scratch.hpp"

#include <cstddef>

namespace plenair {

/// One cycle of several variants side by side: what it reads and writes. The lane is the innermost
/// index of every array.
template <class T>
struct LaneCycle {
    const Network* network;  ///< topology: shared by the lanes
    const LaneCrank<T>* crank;
    const Numbers<T>* numbers;
    Scratch<T>* work;
    const laws::Gnielinski* gnielinski;
    const int* trapped_steps;  ///< per cylinder
    T* state;  ///< in: start of the cycle, its integrals zero; out: its end
    T* start;  ///< room for a second state
    T* sum;  ///< room for a third: rates of a step's stages
    T* rate;  ///< room for a fourth
    T* trapped;  ///< fresh mass of each cylinder at its trapped step [kg]
    T* trapped_mass;  ///< its whole mass [kg]
    /// Room for what carries still air - the first 2 x cells entries of the state, then the passage
    /// flows - at the start of every second step; null: not wanted.
    T* flows;
    T* speed;  ///< largest |u| + a, per chain; in: zero [m/s]
};

/// The march of one instruction set.
template <class T>
struct LaneKernels {
    const char* name;
    int width;  ///< lanes
    void (*cycle)(const LaneCycle<T>&);
};

// Defined for double and float.

/// The widest that this processor has and `variants` fill: in pairs of packs, which hide each
/// other's waits, from more than one pack on.
template <class T>
[[nodiscard]] const LaneKernels<T>& best_lanes(std::size_t variants);
/// Any x86-64, arm64, browser: the compiler's own short vectors.
template <class T>
[[nodiscard]] const LaneKernels<T>* portable_lanes();
/// Null where the build or the processor has no such instruction set.
template <class T>
[[nodiscard]] const LaneKernels<T>* avx2_lanes();
template <class T>
[[nodiscard]] const LaneKernels<T>* avx512_lanes();
template <class T>
[[nodiscard]] const LaneKernels<T>* avx512_pairs();

}  // namespace plenair
