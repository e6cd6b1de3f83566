#pragma once

#include "solver/network/network.hpp"

#include <boost/align/aligned_allocator.hpp>

#include <array>
#include <cstddef>
#include <vector>

namespace plenair {

/// Numbers on the boundary that the widest pack likes.
template <class T>
using Aligned = std::vector<T, boost::alignment::aligned_allocator<T, 64>>;

/// What differs between variants of one topology: geometry, coefficients, gas, operating point and
/// cylinder, number by number, the variant (lane) as innermost index. With one lane it is the plain
/// network. Everything else (which cell meets which) is shared by the lanes and stays in the
/// Network.
template <class T>
struct Numbers {
    int lanes = 1;
    // Per padded cell, room for a whole pack behind the last one.
    Aligned<T> inverse_volume, volume, inverse_diameter, bend, wall_rt, section, face_area,
        inverse_face_area;
    // Per chain.
    Aligned<T> inverse_dx, start_area, end_area, start_diffuser, end_diffuser, open_loss, exit_loss,
        exit_pressure, jet_decay, jet_rate, darcy;
    Aligned<T> friction;  ///< nine coefficients a chain
    // Per passage.
    Aligned<T> area, inverse_inertance, reynolds;  ///< reynolds: Re per mass flow [s/kg]
    Aligned<T> from_area;
    Aligned<T> discharge;  ///< Cd0 = a + b/Re and eight of its growth, forward then reverse
    Aligned<T> rooms;  ///< four numbers of the still air on either side
    // Per mouth.
    Aligned<T> entry_loss, mouth_area, plenum_area, area_ratio, corner, half_cotangent, along;
    // Footprints: both sides of each passage, then the mouths; the first index of each.
    Aligned<T> weight;
    std::vector<int> weight_at;
    Aligned<T> coefficients;  ///< `Coefficient`
    // Gas, operating point and cylinder.
    Aligned<T> point;  ///< `Point`
    Aligned<T> orifice, exhaust_orifice;  ///< x where it chokes and a polynomial
    Aligned<T> expansion;  ///< a polynomial
    Aligned<T> duct;  ///< three numbers and five polynomials of laws::DuctLaw, in its order
    Aligned<T> cylinder_gas;  ///< fresh, burned: coefficients of u(T), a polynomial T(u), its range

    /// Coefficients of the model that the kernel reads in every step, and where the model has each.
    enum Coefficient { regain, crossflow_loss, coefficient_count };
    static constexpr std::array<double Model::*, coefficient_count> coefficient_of = {
        &Model::regain, &Model::crossflow_loss};

    static constexpr int friction_count = 9, discharge_count = 10;
    static constexpr int room_count = 4;  ///< pressure, density, enthalpy, fresh
    static constexpr int orifice_degree = 8, expansion_degree = 10;
    static constexpr int energy_count = 11, guess_degree = 4;
    /// Middle, scale and coefficients of a polynomial.
    static constexpr int polynomial_count(int degree) { return degree + 3; }
    static constexpr int duct_numbers = 3;
    static constexpr int duct_flow_degree = static_cast<int>(laws::DuctFlow::flow_degree);
    static constexpr int duct_wave_degree = static_cast<int>(laws::DuctFlow::wave_degree);
    static constexpr int duct_head_degree = static_cast<int>(laws::DuctFlow::head_degree);
    static constexpr int duct_count = duct_numbers + polynomial_count(duct_flow_degree) +
                                      polynomial_count(duct_wave_degree) +
                                      3 * polynomial_count(duct_head_degree);
    static constexpr int orifice_count = 1 + polynomial_count(orifice_degree);
    static constexpr int component_count = energy_count + polynomial_count(guess_degree) + 2;

    enum Point {
        gamma,
        gamma_less_one,
        pressure_exponent,  ///< (gamma - 1)/gamma
        enthalpy_factor,  ///< gamma/(gamma - 1)
        viscosity,
        viscosity_slope,
        inverse_charge_rt,
        heat_factor,  ///< gamma/(gamma - 1)/Pr
        source_pressure,
        source_rt,
        source_fresh,
        room_rt,
        room_fresh,
        exhaust_pressure,
        exhaust_rt,
        exhaust_enthalpy,
        inverse_exhaust_delay,  ///< 0: none
        offset_fresh,
        offset_burned,
        heat_per_air,
        wall_temperature,
        woschni,
        relax,
        gas_constant_fresh,
        gas_constant_burned,
        point_count
    };

    /// Room for `lanes` variants of this topology; every lane starts as this network.
    Numbers(const Network& topology, int lanes);

    /// Puts a variant into a lane. @pre same_topology(topology, network)
    void set_lane(int lane, const Network& network);
};

/// True where two networks differ in numbers alone, so that they can march side by side: the same
/// cells, chains, passages, mouths, valves. Engine, operating point and gas may differ.
[[nodiscard]] bool same_topology(const Network& a, const Network& b);

}  // namespace plenair
