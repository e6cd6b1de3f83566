#pragma once

/// Numbers of the physics and of the method that are no entries of a case and that more than one
/// place needs (docs/theory.md, "Fixed numbers").
namespace plenair {

/// End correction of a hole, in radii a side: the air that swings with it, a piston in a baffle,
/// 8/(3 pi). @source Rayleigh 1896, from memory.
inline constexpr double end_correction = 0.85;

/// Reynolds number on the hydraulic diameter at which Bragg's column of a slot is read and its
/// coefficient is stated: of a slot at full flow; Cd0 varies by less than 0.008 from there on.
inline constexpr double reference_reynolds = 5.0e4;

/// What the steps take of the stepper, which is stable to 2.78 on the negative real axis and to
/// 2.83 on the imaginary one: a slot's own mode adds to a wave.
/// @source Hairer, Norsett and Wanner 1993, table 1.2 (the classical Runge-Kutta method).
inline constexpr double real_axis = 2.4;
inline constexpr double imaginary_axis = 2.5;

}  // namespace plenair
