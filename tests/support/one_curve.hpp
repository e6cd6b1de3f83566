#pragma once

namespace plenair::test {

/// A curve for the shipped four: eight speeds, pressure with a bend.
inline const char* const one_curve = R"([[curve]]
name = "full"
from = "4000 rpm"
to = "8600 rpm"
steps = 8
pressure = { speed = "4000, 7000, 8600 rpm", value = "200, 255, 250 kPa abs" }
temperature = { speed = "4000, 8600 rpm", value = "306, 322 K" }
exhaust_pressure = { speed = "4000, 8600 rpm", value = "190, 270 kPa abs" }
exhaust_temperature = "1150 K"
lambda = { speed = "4000, 8600 rpm", value = [0.86, 0.80] }
)";

}  // namespace plenair::test
