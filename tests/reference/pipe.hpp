#pragma once

#include "tests/reference/duct_ends.hpp"

#include <array>
#include <functional>
#include <vector>

namespace plenair::reference {

/// Primitive state of a cell or a face: density, velocity, pressure, fresh fraction.
struct Primitive {
    double rho = 1.2, u = 0, p = 1e5, y = 1;
};
/// What leaves or enters per volume and time: mass, momentum, energy, fresh mass.
using Rates = std::array<double, 4>;

/// One pipe of changing section by the MUSCL-Hancock scheme (van Leer 1984; Toro 2009, section
/// 14.4) with the HLLC flux (Toro, Spruce and Speares 1994) and the monotonised central slope.
/// Cells of equal length; sections at the faces, volumes by Simpson's rule.
class Pipe final {
public:
    Pipe(const Gas& gas, double length, int cells, const std::function<double(double)>& area);

    [[nodiscard]] int cells() const { return static_cast<int>(state.size()); }
    [[nodiscard]] double dx() const { return dx_; }
    [[nodiscard]] double centre(int i) const { return (i + 0.5) * dx_; }
    [[nodiscard]] double mean_area(int i) const { return volume_[at(i)] / dx_; }
    [[nodiscard]] double volume(int i) const { return volume_[at(i)]; }
    /// Largest |u| + a over dx [1/s].
    [[nodiscard]] double wave_rate() const;
    /// Mass and energy in it [kg], [J].
    [[nodiscard]] double mass() const;
    [[nodiscard]] double energy() const;
    void fill(const std::function<Primitive(double)>& at_x);

    /// First half of a step: slopes and the state half a step on, with the sources of the step
    /// before.
    void predict(double dt);
    /// State at the middle of the step: of a cell, and of the gas at an end, seen from outside.
    [[nodiscard]] const Primitive& middle(int i) const { return middle_[at(i)]; }
    [[nodiscard]] Duct end(bool start) const;
    [[nodiscard]] double end_fresh(bool start) const;

    /// What crosses an end during the step; a wall where it is not called.
    void set_end(bool start, const Through& crossing, double fresh);
    /// Adds to what leaves (negative) or enters a cell [kg/s], [N], [W], [kg/s].
    void add(int i, const Rates& rates);
    /// Second half of a step.
    void finish(double dt);

    std::vector<Primitive> state;
    /// Darcy factor as a function of velocity and density of a cell; none: no friction.
    std::function<double(int, const Primitive&)> darcy;
    double loss_per_length = 0;  ///< bends [1/m]

private:
    static std::size_t at(int i) { return static_cast<std::size_t>(i); }
    struct Flux {
        double mass = 0, momentum = 0, energy = 0, fresh = 0, pressure = 0;
    };
    [[nodiscard]] Flux hllc(const Primitive& l, const Primitive& r) const;
    [[nodiscard]] Primitive edge(int i, double side) const;
    void wall(bool start);

    Gas gas_;
    double dx_;
    std::vector<double> face_area_, volume_, diameter_;
    std::vector<Primitive> slope_, middle_;
    std::vector<Rates> source_, last_source_;
    std::array<Flux, 2> end_flux_;
    std::array<bool, 2> end_set_{};
};

}  // namespace plenair::reference
