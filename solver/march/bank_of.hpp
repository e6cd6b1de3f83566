#pragma once

#include "solver/network/network.hpp"

#include <string>

namespace plenair {

/// The chamber in which these cells are; nothing for the room.
[[nodiscard]] const Chain* chamber_of(const Network& network, const Footprint& cells);

/// Bank of a chamber, by its name: "left" of "left pre-chamber"; empty where there is one bank.
[[nodiscard]] std::string bank_name(const Chain& chamber);

}  // namespace plenair
