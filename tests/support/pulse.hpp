#pragma once

/// A smooth pulse of 1 kPa that runs along a pipe of 1 m and steepens on its way: a simple wave,
/// whose exact solution carries every value of u with the speed u + a.
/// @source Riemann 1860; Landau and Lifshitz 1987, sec. 101 (from memory).
namespace plenair::test {

/// Root mean square of the error of density after 1.2 ms over the amplitude, at this many cells and
/// this Courant number.
[[nodiscard]] double pulse_error(int cells, double courant);

/// The same against the same cells with a step 32 times shorter than at Courant number 1.6: the
/// error of the step alone.
[[nodiscard]] double pulse_step_error(int cells, double courant);

}  // namespace plenair::test
