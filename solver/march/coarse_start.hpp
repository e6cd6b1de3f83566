#pragma once

#include "solver/network/network.hpp"

namespace plenair {

/// The model to begin a point with: coarser cells, and a periodic state no better than these are
/// worth: its tolerance is a residual (PeriodicIteration::start_only). The fine cells begin from
/// its state, past the slow first cycles.
[[nodiscard]] Model coarse_model(const Model& model);

/// The model to begin with in single precision on the cells of the answer; its tolerance likewise.
[[nodiscard]] Model start_model(const Model& model);

/// Whether a coarse network is so much cheaper that it pays to begin there.
[[nodiscard]] bool worth_a_start(const Network& coarse, const Network& fine);

}  // namespace plenair
