#pragma once

#include "cases/file/build.hpp"
#include "cases/file/key.hpp"

#include <vector>

/// Charge before the throttle from what stands before it: compressor and cooler.
namespace plenair::file {

/// Keys of [charge], and those of a point that names its compressor outlet.
void add_charge_keys(std::vector<Key>& table);

/// Pressure and temperature before the throttle of a point that names its compressor outlet: T = Tc
/// - e (Tc - Tcool), p = pc - loss, by the definition of effectiveness with a coolant of large heat
/// capacity. Reports what a point of either kind lacks.
void build_charge(const Scope& root, const Scope& scope, OperatingPoint& point, Messages& messages);

}  // namespace plenair::file
