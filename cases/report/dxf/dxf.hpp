#pragma once

#include <string>

#include "cases/report/drawing/model.hpp"

namespace plenair {

/// A drawing as ASCII DXF, version AC1015 (published reference of the format, 2000), in millimetres
/// or, where its numbers are in inches, in inches, at 1:1: every view stands beside the others,
/// each layer of the drawing is one of the file, and dimensions are DIMENSION entities that
/// measure. Texts outside ASCII are written as \U+XXXX.
[[nodiscard]] std::string dxf_text(const drawing::Drawing& drawing);

}  // namespace plenair
