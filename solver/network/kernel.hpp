#pragma once

// The kernel with all its parts: what marches includes this.
#include "solver/network/kernel_class.hpp"

#include "solver/network/kernel_cells.hpp"
#include "solver/network/kernel_cylinders.hpp"
#include "solver/network/kernel_ends.hpp"
#include "solver/network/kernel_exchanges.hpp"
#include "solver/network/kernel_update.hpp"
#include "solver/network/kernel_walls.hpp"
