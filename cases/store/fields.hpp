#pragma once

#include "cases/store/grid_writer.hpp"
#include "solver/march/result.hpp"

#include <string>
#include <vector>

namespace plenair {

/// Whether a number stands for itself when the point did not converge.
enum class Shown { always, converged_only };

/// One number of a point or of a cylinder: how the file calls it and where the result keeps it.
template <class Result>
struct Field {
    Label label;
    double Result::*member;
    Shown shown = Shown::always;
};

/// The numbers of one point, in the order of the file.
[[nodiscard]] const std::vector<Field<PointResult>>& point_fields();
/// The numbers of one cylinder at one point.
[[nodiscard]] const std::vector<Field<CylinderResult>>& cylinder_fields();

/// Name of a part or quantity as a dataset name: lower case, every other sign an underscore.
[[nodiscard]] std::string dataset_name(const std::string& text);

}  // namespace plenair
