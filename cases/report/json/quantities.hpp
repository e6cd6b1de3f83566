#pragma once

#include "cases/report/json/tools.hpp"
#include "cases/study/quantities.hpp"

namespace plenair {

/// Adds the numbers of a point under their names of JSON, those that say under which conditions it
/// runs or the others. What a point that did not converge does not have is left out.
void add_quantities(Json& json, const PointResult& point, bool conditions);
/// The same of a part of a band.
void add_quantities(Json& json, const BandPart& part);
/// The same of a bank and of a cylinder.
void add_quantities(Json& json, const BankResult& bank, bool converged);
void add_quantities(Json& json, const CylinderResult& cylinder, bool converged);

}  // namespace plenair
