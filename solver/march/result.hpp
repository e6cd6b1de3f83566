#pragma once

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// Air of one cylinder over one cycle at one point.
struct CylinderResult {
    int cylinder = 0;  ///< number, as the firing order has it
    int firing_position = 0;  ///< place in the firing order, from 1
    double air_delivered = 0;  ///< dry fresh air through the intake valves, net [kg/cycle]
    double air_trapped = 0;  ///< dry fresh air in the cylinder at intake closing [kg/cycle]
    double share = 0;  ///< trapped / total trapped
    double bias = 0;  ///< share x N - 1 [-]
    double residual_fraction = 0;  ///< burned gas mass / total mass at intake closing
    double mouth_velocity_peak = 0;  ///< [m/s]
    double bank_bias = 0;  ///< air trapped over the mean of its bank - 1 [-]
    int bank = 0;  ///< index in PointResult::banks
};

/// Air of the cylinders of one bank. Banks may get unequal air; that is one thing, and how a bank
/// shares out what it gets another.
struct BankResult {
    std::string name = {};  ///< empty: the only one
    std::vector<int> cylinders = {};  ///< their numbers, by rising x of their mouths
    /// Of them those at the smallest and the largest x; empty where all stand at one.
    std::vector<int> first = {}, last = {};
    double air_flow = 0;  ///< dry air to its cylinders [kg/s]
    double share = 0;  ///< of the air trapped in all cylinders [-]
    double bias = 0;  ///< air trapped a cylinder over the mean of all cylinders - 1 [-]
    double spread = 0;  ///< largest minus smallest bank_bias of its cylinders [-]
    double end_bias = 0;  ///< mean bank_bias of `last` minus that of `first` [-]
    /// Losses of its own throttles, slot, mouths and runners as those of a point [Pa]; 0 in results
    /// of several variants side by side, which have them of all banks together only.
    double throttle_loss = 0, slot_loss = 0, mouth_loss = 0, port_loss = 0;
    double total_loss = 0;  ///< their sum [Pa]
};

/// Static pressure along a chamber: cycle mean and range.
struct PressureProfile {
    std::string part;  ///< "pre-chamber" or "plenum", with the bank's name if several
    std::vector<double> x, mean, low, high;  ///< [m], [Pa]
};

struct SlotProfile {
    std::vector<double> x;  ///< centres [m]
    std::vector<double> flow_per_length;  ///< cycle mean [kg/(s m)]
    std::string bank = {};  ///< name of its bank; empty: the only one
};

/// One quantity against crank angle over the last cycle.
struct Trace {
    std::string
        quantity;  ///< "runner_mouth_velocity", "plenum_pressure_start", "intake_valve_flow", ...
    int cylinder = 0;  ///< 0 where none
    std::string unit;
    std::vector<double> value;
};

/// One cause of a point's bands: half widths at 95 %.
struct BandPart {
    std::string name;  ///< "regain", "cells of twice the length", "scatter of ports and valves"
    double bias = 0;  ///< of the cylinder that it moves most [-]
    double air = 0;  ///< of the air flow [-]
    double spread = 0;  ///< [-]
    double slot_loss = 0;  ///< [Pa]
};

/// A place where gas reaches the speed of sound in part of the cycle.
struct SonicSection {
    enum class Part { runner, valve, throttle, chamber, slot };
    enum class Place {
        start,
        end,
        inside
    };  ///< of a runner: mouth, valve end; of a chamber: x = 0
    Part part = Part::runner;
    Place place = Place::inside;  ///< of a throttle: of its chamber, inside: in the side wall
    std::string chamber = {};  ///< that it is, feeds or draws from: "left plenum"; none: a runner
    std::string bank = {};  ///< of a slot; empty: the only one
    int cylinder = 0;  ///< of a runner or a valve
    double x = 0, x_to = 0;  ///< inside: from the mouth or x = 0; of a slot from and to [m]
    bool always = false;  ///< over the whole cycle; else the longest spell:
    double from = 0, to = 0;  ///< after firing TDC of `cylinder`, else of cylinder 1 [rad]
    bool again = false;  ///< at other angles, too
    double step = 0;  ///< longest step of the cycle: what the angles are good to [rad]
    double share = 0;  ///< of what the place passes in a cycle
    bool back = false;  ///< mostly of gas that blows back
};

struct PointResult {
    std::string name;
    double speed = 0;  ///< [rad/s]
    double source_pressure = 0;  ///< [Pa]
    double source_temperature = 0;  ///< [K]
    bool converged = false;
    std::string failure;  ///< why not, one sentence; empty when converged
    int cycles = 0;
    double periodic_residual = 0;
    double mass_balance = 0;  ///< |in - out - stored| / in over the last cycle
    double energy_balance = 0;
    double fresh_air_balance = 0;
    double share_error = 0;  ///< estimated error of a bias from the iteration; of one cylinder, of
                             ///< its air [-]
    double flow_balance = 0;  ///< |sum of cylinders - throttle| / throttle
    double air_flow = 0;  ///< dry air through the throttle(s) [kg/s]
    double volumetric_efficiency = 0;  ///< trapped? delivered air over swept volume at source state
    double spread = 0;  ///< [-] largest minus smallest bias
    /// Far end minus x = 0 of the row of cylinders; of several banks that of the largest size [-].
    double end_bias = 0;
    double bias_band = 0;  ///< [-] half width at 95 %, 0 where not computed; so are the others
    double spread_band = 0;  ///< [-]
    double air_band = 0;  ///< of the air flow [-]
    double slot_loss_band = 0;  ///< [Pa]
    double throttle_loss = 0;  ///< total pressure, flow-weighted mean [Pa]
    double slot_loss = 0;  ///< [Pa]
    double mouth_loss = 0;  ///< [Pa]
    double port_loss = 0;  ///< runner and port [Pa]
    double slot_mach = 0;  ///< peak passage Mach number
    double slot_to_throttle = 0;  ///< effective area ratio
    double choke_margin = 0;  ///< 1 - peak of slot flow over choked flow
    double inlet_mach_index = 0;  ///< mean, Taylor
    /// The same point without slot, one plenum with the section of both chambers; 0: not computed.
    double no_slot_spread = 0;  ///< [-]
    double no_slot_air_flow = 0;  ///< [kg/s]
    std::vector<CylinderResult> cylinders;
    std::vector<BankResult> banks;  ///< one at least where there are cylinders
    std::vector<BandPart> band_parts;  ///< largest first; their squares add up to the bands'
    std::vector<PressureProfile> pressures;
    std::vector<SlotProfile> slots;
    std::vector<SonicSection> sonic;  ///< those that limit the flow; not kept in HDF5
    std::vector<double>
        crank_angle;  ///< of the traces, after firing TDC of cylinder 1 [rad]; empty without traces
    std::vector<Trace> traces;
    std::vector<std::string> notes;  ///< warnings of the computation, one sentence each
};

/// Head on the bench at one lift: its coefficients, all against isentropic flow from the air before
/// the set-up to the pressure behind it, on the areas of all valves of the cylinder.
struct ValveFlow {
    std::vector<int> cylinders;  ///< numbers of those that are alike
    double lift = 0;  ///< [m]
    double lift_over_diameter = 0;  ///< lift over head diameter
    double cd_curtain = 0;  ///< on pi x head diameter x lift
    double cd_seat = 0;  ///< on the port's circle at the seat
    double cd_head = 0;  ///< on the circle of the valve head
    double cd_valve = 0;  ///< of the valve alone on the curtain area, as the model has it
};

/// The one end at which a header is fed.
enum class BenchFeed { elsewhere, start, far };

struct BenchResult {
    std::string name;  ///< "slot", "runner 3", "all open"; of several banks "left: slot"
    bool converged = false;
    std::string failure;
    double depression = 0;  ///< [Pa]
    double density = 0;  ///< of the room air [kg/m3]
    double flow = 0;  ///< [kg/s]
    double cd =
        0;  ///< on the geometric area of the set-up's metering part, isentropic; 0 where none
    double reference_area = 0;  ///< [m2]
    double bias_band = 0;  ///< [-] half width from model coefficients, 0 where not computed
    int iterations = 0;
    double residual = 0;
    std::string bank;  ///< whose parts; empty: all there are
    BenchFeed feed = BenchFeed::elsewhere;
    std::vector<double> flow_per_runner;  ///< [kg/s], in runner order; closed ones 0
    std::vector<int> runners;  ///< number of each of them: that of its cylinder
    std::optional<ValveFlow> valve;  ///< of a head at a fixed lift
    double outlet_flow = 0;  ///< through the outlet of a header, where it has one [kg/s]
    std::vector<double> x;  ///< slot stations [m]
    std::vector<double> flow_per_length;  ///< [kg/(s m)] at x
    std::vector<double> hole_flow;  ///< [kg/s] per hole of a row
    std::vector<double> pressure_x,
        static_pressure;  ///< along the header (pre-chamber, else plenum)
    std::vector<std::string> notes;
};

}  // namespace plenair
