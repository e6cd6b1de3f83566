#pragma once

#include "solver/gas/air.hpp"
#include "solver/gas/cylinder_gas.hpp"
#include "solver/laws/duct_flow.hpp"
#include "solver/laws/friction.hpp"
#include "solver/laws/heat.hpp"
#include "solver/laws/orifice.hpp"
#include "solver/laws/slot_edge.hpp"
#include "solver/network/layout.hpp"
#include "solver/network/model.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// What stands at an end of a chain.
enum class EndKind { wall, open, throttle, mouth, valve, exit };

/// Gas of the intake: perfect, at the state of the charge.
struct ChargeGas {
    double gamma = gas::air_gamma;
    double gas_constant = gas::air_gas_constant;  ///< [J/(kg K)]
    double viscosity = 1.8e-5;  ///< at the charge temperature [Pa s]
    double viscosity_slope = 0;  ///< d ln(mu)/d ln(T) there, Sutherland
    double prandtl = laws::air_prandtl;
    double dry_air = 1;  ///< dry air per fresh charge [kg/kg]
};

/// Air at rest: the source before the throttle, the room behind a bench.
struct Reservoir {
    double pressure = 101325;
    double rt = gas::air_gas_constant * 293.15;  ///< R T [J/kg]
    double fresh = 1;
};

/// One part cut into equal cells.
struct Chain {
    std::string name;
    int first = 0;  ///< padded index of its first cell
    int count = 0;
    double dx = 0;  ///< [m]
    EndKind start = EndKind::wall, end = EndKind::wall;
    double start_effective_area = 0, end_effective_area = 0;  ///< throttles, Cd A [m2]
    /// Throttles: 1/(1 - pressure recovery of the diffuser behind the smallest section).
    double start_diffuser = 1, end_diffuser = 1;
    double open_loss = 0;  ///< K0 where the source stands at an open end
    bool runner = false;
    bool plenum = false;
    int bank = 0;  ///< whose part it is, 0-based
    double exit_loss = 1;  ///< K behind an exit, exit head included
    std::optional<double> exit_pressure;  ///< behind an exit [Pa], default that of the room
    bool closed_exit = false;
    int cylinder = 0;  ///< behind a valve end, 0-based
    bool jet = false;  ///< carries a throttle jet
    double jet_decay = 0;  ///< exp(-dx/Lm)
    double jet_rate = 0;  ///< (dx/Lm)/(1 - decay), bounded
    int friction = -1;  ///< index of its friction fit
    double darcy = 0;  ///< constant Darcy factor where imposed
    bool has_friction = false;  ///< wall friction or bends
    bool friction_factor = false;  ///< wall friction
    bool has_heat = false;
};

/// Cells of one chain with weights that sum to one.
struct Footprint {
    int first = 0;  ///< padded index
    std::vector<double> weight;  ///< empty: the room
    double area = 0;  ///< weighted section of the chain [m2]
};

/// Slot cell, hole, or throttle through a side wall: an orifice with the inertia of its air.
struct Passage {
    Footprint from, to;  ///< positive flow from -> to; an empty footprint is a reservoir
    Reservoir from_room, to_room;
    double area = 0;  ///< geometric [m2]
    double inertance = 0;  ///< length/area [1/m]
    double x = 0, length = 0;  ///< along the chamber [m]
    bool upstream_static = false;  ///< hole: driven by the static pressure just upstream of it
    bool slot = false;
    bool source = false;  ///< throttle in a side wall: counts as source
    double hydraulic_diameter = 0;
    int discharge = 0, discharge_reverse = 0;  ///< indices of the discharge laws
};

/// A runner mouth on a plenum.
struct Mouth {
    int chain = 0;
    Footprint plenum;
    double entry_loss = 0.5;  ///< K0
    double area = 0, area_ratio = 0;
    double corner = 0;  ///< edge radius over header diameter
    double half_cotangent = 1;  ///< cot(angle/2), angle between runner and x
    double along = 0;  ///< cos(angle)
};

/// Throttles that are one opening: all in one end wall of a chain, or one in a side wall.
struct ThrottlePlace {
    int bank = 0;  ///< in the intake, 0-based
    std::vector<std::size_t> throttles;  ///< of that bank
    int chain = -1;
    bool at_start = true;
    int passage = -1;  ///< of a side throttle
    bool jet = false;  ///< forms one
};

/// The intake valve at the end of a runner and the cylinder behind it.
struct ValveEnd {
    int chain = 0;
    int cylinder = 0;  ///< 0-based
};

/// What changes with crank angle.
enum class CrankColumn {
    intake,
    exhaust,
    volume,
    volume_rate,
    burn,
    motored,
    wall_area,
    piston,
    combustion_factor,
    open,
    exhaust_pressure,
    count
};

/// Values that change with crank angle, one row per half step: effective areas, volume, heat
/// release.
struct CrankTable {
    double start_angle = 0;  ///< crank angle at which the cycle begins [rad]
    int nodes = 0;
    int cylinders = 0;
    std::vector<double> step;  ///< step lengths [s]
    std::vector<double> intake, exhaust;  ///< effective areas [m2], node x cylinder
    std::vector<double> volume, volume_rate;  ///< [m3], [m3/s]
    std::vector<double> burn;  ///< rate of loss of ln(fresh air) [1/s]
    std::vector<double> motored;  ///< V^k
    std::vector<double> wall_area, piston;  ///< heat loss: surface [m2], Woschni factor C1 Sp [m/s]
    std::vector<double> combustion_factor;  ///< C2 Vd [m4/(s K)]
    std::vector<double> open;  ///< 1 while the intake valve is open
    std::vector<double> exhaust_pressure;  ///< [Pa]; empty where it does not change

    static constexpr std::array<std::vector<double> CrankTable::*,
                                static_cast<std::size_t>(CrankColumn::count)>
    members() {
        return {&CrankTable::intake,
                &CrankTable::exhaust,
                &CrankTable::volume,
                &CrankTable::volume_rate,
                &CrankTable::burn,
                &CrankTable::motored,
                &CrankTable::wall_area,
                &CrankTable::piston,
                &CrankTable::combustion_factor,
                &CrankTable::open,
                &CrankTable::exhaust_pressure};
    }
    /// Everything that has a row a node.
    [[nodiscard]] const std::vector<double>& column(CrankColumn c) const {
        return this->*members()[static_cast<std::size_t>(c)];
    }
    [[nodiscard]] std::vector<double>& column(CrankColumn c) {
        return this->*members()[static_cast<std::size_t>(c)];
    }
};

/// Cylinder constants shared by all cylinders.
struct CylinderModel {
    gas::CylinderGas gas;
    double offset_fresh = 0, offset_burned = 0;  ///< enthalpy datum against the charge [J/kg]
    double heat_per_air = 0;  ///< heat released per burned fresh air [J/kg]
    bool wall_heat = false;
    double wall_temperature = 450;
    double woschni = 0;  ///< 3.26 B^-0.2
    double displacement = 0;
    double relax = 0;  ///< 1/s, the motored reference follows the cylinder while the intake is open
    double exhaust_delay = 0;  ///< the exhaust flow follows the orifice law within this [s]
    bool exhaust_varies = false;  ///< the crank table has the exhaust pressure of some cylinder
};

/// One intake with its numbers: geometry cut into cells, ready for the right-hand side.
struct Network {
    Layout layout;
    ChargeGas gas;
    Model model;
    Reservoir source;  ///< before the throttle
    Reservoir exhaust;
    double exhaust_enthalpy = 0;  ///< of gas that comes back through an exhaust valve [J/kg]
    Reservoir room;  ///< behind bench exits and an open slot
    std::vector<std::string> banks;  ///< names as geometry::bank_name gives them
    std::vector<Chain> chains;
    std::vector<Passage> passages;
    std::vector<Mouth> mouths;
    bool slanted = false;  ///< some runner leaves at another angle than a right one
    std::vector<ThrottlePlace> throttles;
    std::vector<ValveEnd> valves;
    CrankTable crank;
    CylinderModel cylinder;
    /// (1 - (1 - x)^k)/x over x = 1 - p2/p1 up to 0.9, k = (gamma - 1)/gamma: isentropic expansion.
    arithmetic::Polynomial<10> expansion;
    laws::OrificeFunction orifice;
    laws::DuctFlow duct;
    laws::OrificeFunction exhaust_orifice;
    std::vector<laws::SlotDischarge> discharges;
    std::vector<laws::FrictionFit> frictions;
    // Per padded cell; inverse volume is zero in ghosts.
    std::vector<double> inverse_volume, volume, area, inverse_diameter, wall_rt, bend;
    std::vector<double> face_area;  ///< face f stands between cells f - 1 and f

    [[nodiscard]] bool has_engine() const { return layout.cylinders > 0; }
};

}  // namespace plenair
