#pragma once

#include <vector>

/// A tapered part of 1 m, open to still air at its start and closed at its end, that loses air
/// through a slot along its whole length. The slot is choked, so that steady compressible flow
/// obeys two ordinary equations, mass and momentum at constant total enthalpy:
///     dW = -m' dx,     W du + A dp = (theta - 1) u m' dx
/// @source momentum theory of the dividing manifold, Acrivos, Babcock and Pigford 1959.
namespace plenair::test {

/// Root mean squares over the cells of the relative errors of pressure and outflow; relative error
/// of what flows in.
struct HeaderErrors {
    double pressure = 0, outflow = 0, inflow = 0;
};

/// Errors of the network's steady state.
/// @throws std::runtime_error where it finds none.
[[nodiscard]] HeaderErrors choked_header_errors(double theta, int cells);

/// Pressures 5 ms after the slot opened on still air, marched in equal steps [Pa].
[[nodiscard]] std::vector<double> starting_header(int cells, int steps);

}  // namespace plenair::test
