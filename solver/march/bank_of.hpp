#pragma once

#include "solver/network/network.hpp"

#include <string>

namespace plenair {

/// The chamber in which these cells are; nothing for the room.
[[nodiscard]] const Chain* chamber_of(const Network& network, const Footprint& cells);

/// Name of the bank whose part it is; empty where there is one bank.
[[nodiscard]] const std::string& bank_name(const Network& network, const Chain& chain);

}  // namespace plenair
