#pragma once

#include "geometry/profile.hpp"

#include <numbers>
#include <optional>
#include <string>
#include <vector>

/// The metal: parts and their dimensions in SI units (m, m2, rad, K, Pa). Cylinder 1 stands at x =
/// 0.
namespace plenair::geometry {

/// Which area a discharge coefficient multiplies.
enum class CdArea { open, bore };
/// Where along a chamber a feed enters: at the wall x = 0, at the wall x = length, or through the
/// side at a stated x.
enum class FeedPosition { start, end, side };
enum class FeedTarget { pre_chamber, plenum };

/// Discharge coefficient against an abscissa (plate angle [rad] or valve lift over diameter [-]).
struct CdTable {
    std::vector<double> abscissa;
    std::vector<double> cd;

    bool operator==(const CdTable&) const = default;
};

/// A throttle plate with shaft.
struct Throttle {
    double bore = 0;  ///< [m]
    double shaft = 0;  ///< [m]
    double closed_angle = 0;  ///< plate angle at the closed stop [rad]
    double cd = 0.95;  ///< used where no table is given
    std::optional<CdTable> cd_table;  ///< against plate angle [rad]
    CdArea cd_area = CdArea::open;
    /// Of a diffuser behind the smallest section: rise of the static pressure over the velocity
    /// head there; 0: none.
    double recovery = 0;
    FeedTarget feeds = FeedTarget::pre_chamber;
    FeedPosition position = FeedPosition::start;
    double x = 0;  ///< only for FeedPosition::side [m]

    [[nodiscard]] double bore_area() const;
    /// Projected open area at a plate angle [rad]; wide open where the plate hides behind the shaft
    /// [m2].
    [[nodiscard]] double open_area(double angle) const;
    [[nodiscard]] double wide_open_area() const;
    /// Discharge coefficient times its reference area at a plate angle; wide open if none is given
    /// [m2].
    [[nodiscard]] double effective_area(std::optional<double> angle) const;
};

/// Pre-chamber or plenum: a duct along x with both ends closed unless a feed stands there.
struct Chamber {
    double length = 0;  ///< [m]
    Profile area;  ///< section along x [m2]
    std::optional<double> height;  ///< wall height, for the slot check [m]
    std::optional<double>
        perimeter;  ///< wetted perimeter; default that of a circle of equal area [m]
    std::optional<double> roughness;  ///< [m]; default: the case's friction setting
    std::optional<double> wall_temperature;  ///< [K]; none: adiabatic
    bool open_start = false;  ///< the source stands at the open end x = 0 (rig without throttle)
    bool open_end = false;
    /// Rig: what leaves the header at the end that is not fed, as a loss coefficient on its own
    /// velocity head, exit head included; none: a wall.
    std::optional<double> outlet_loss;

    [[nodiscard]] double volume() const { return area.integral(0, length); }
};

/// One piece of the metering slot; its width may vary along x (x counted from the throttle-end
/// wall).
struct SlotPiece {
    double x = 0;  ///< start [m]
    double length = 0;  ///< [m]
    Profile width;  ///< [m], along chamber x
    [[nodiscard]] double area() const { return width.integral(x, x + length); }
};

/// One hole of a row that stands in for a slot.
struct SlotHole {
    double x = 0;  ///< centre [m]
    double length = 0;  ///< extent along x [m]
    double area = 0;  ///< [m2]
    double hydraulic_diameter = 0;  ///< 4 area / perimeter [m]
};

/// What the shop may deviate, and what it works in. The defaults are what a milling shop holds with
/// care (common practice; the radius as ISO 2768-1, class m, up to 3 mm).
struct SlotShopLimits {
    double width = 5e-5;  ///< either way, at every station [m]
    double taper = 5e-5;  ///< growth of the width from end to end beyond the drawn one [m]
    double edge_radius = 2e-4;  ///< either way, inlet edge [m]
    double land = 1e-4;  ///< either way, wall thickness [m]
    double length = 2e-4;  ///< either way, place and length [m]
    double flatness = 5e-5;  ///< of the wall beside the slot [m]
    double surface = 3.2e-6;  ///< roughness Ra of land and edges [m]
    std::string material;  ///< free text; empty: to be filled in by hand
};

struct Slot {
    std::vector<SlotPiece> pieces;
    std::vector<SlotHole> holes;
    double land = 0;  ///< wall thickness the air passes through [m]
    double edge_radius = 0;  ///< inlet edge, pre-chamber side [m]
    double outlet_edge = 0;  ///< outlet edge, plenum side [m]
    std::optional<double> cd;  ///< measured or imposed: replaces land and edge radius
    bool edge_stated = true;  ///< an inlet edge radius was given, be it 0
    SlotShopLimits limits;
    [[nodiscard]] double area() const;
};

/// Two bores that meet with a step lie so far apart along the axis [m].
inline constexpr double bore_step = 1e-6;

/// Runner from its mouth to the valve seat, the port included.
struct Runner {
    double x = 0;  ///< centre of the mouth along the plenum [m]
    double length = 0;  ///< mouth to valve, port included [m]
    double port_length = 0;  ///< the last stretch, inside the head [m]
    Profile diameter;  ///< along its own axis from the mouth [m]
    bool port_bore = false;  ///< behind the flange it is a bore of its own, the head's
    double bell_radius = 0;  ///< [m]
    std::optional<double> bell_outer_diameter;  ///< [m]
    std::optional<double> protrusion;  ///< bell mouth above the floor [m]
    std::optional<double> wall_clearance;  ///< bell mouth to the opposite wall [m]
    double angle = 1.57079632679489661923;  ///< its axis, outwards, from the plenum's x [rad]
    std::optional<double> entry_loss;  ///< K0; default from bell radius
    double bend_loss = 0;  ///< total K of bends, on mean velocity head
    std::optional<double>
        exit_loss;  ///< rig: K of all that follows the entry, exit head included, K_rest
    std::optional<double> exit_pressure;  ///< rig: of the room behind it [Pa], default the bench's
    std::optional<double> roughness;  ///< [m]
    std::optional<double> wall_temperature;  ///< [K], runner
    std::optional<double> port_wall_temperature;  ///< [K], port stretch

    [[nodiscard]] Profile area() const;
    [[nodiscard]] double mouth_diameter() const { return diameter.at(0); }
    [[nodiscard]] double mouth_area() const;
    [[nodiscard]] double volume() const;
};

/// Throttle(s), pre-chamber, slot, plenum and runners that breathe together. Any of them may be
/// missing on a rig.
struct Bank {
    std::string name;
    std::vector<Throttle> throttles;
    std::optional<Chamber> pre_chamber;
    std::optional<Slot> slot;
    std::optional<Chamber> plenum;
    std::vector<Runner> runners;
    std::vector<int> cylinders;  ///< cylinder number of each runner, counted from 1
};

/// Poppet valves of one kind in one cylinder.
struct Valve {
    int count = 1;
    double head = 0;  ///< head diameter [m]
    double seat_width = 0;  ///< projected [m]
    double seat_angle = 0;  ///< [rad]
    double throat = 0;  ///< port diameter at the seat [m]
    double stem = 0;  ///< [m]
    double lift = 0;  ///< largest lift [m]
    double checking_lift = 0;  ///< lift at which the events are stated [m]
    double opens = 0;  ///< crank angle of opening after firing TDC [rad], 0..4 pi
    double closes = 0;  ///< > opens [rad]
    CdTable cd;  ///< against lift / head diameter, on curtain area
    std::vector<double>
        lift_angle;  ///< optional measured lift curve: crank angle after opening [rad]
    std::vector<double> lift_value;  ///< [m]

    /// Lift at a crank angle after firing TDC [rad] -> [m].
    [[nodiscard]] double lift_at(double angle) const;
    /// Smallest geometric area of one valve at a lift [m2].
    [[nodiscard]] double geometric_area(double lift) const;
    /// Effective area Cd x curtain of all valves at a crank angle, at most the geometric area [m2].
    [[nodiscard]] double effective_area(double angle) const;

    bool operator==(const Valve&) const = default;
};

/// Closing ramp of a cam below the checking lift: 20 crank degrees, a usual length (from memory)
/// [rad].
inline constexpr double closing_ramp = std::numbers::pi / 9;

struct Engine {
    std::vector<int> firing_order;  ///< cylinder numbers
    std::vector<double> firing_angles;  ///< crank angle of firing TDC, in firing order [rad]
    double bore = 0, stroke = 0, rod = 0;  ///< [m]
    double compression_ratio = 0;
    double pitch = 0;  ///< cylinder pitch, 0 if not stated [m]
    Valve intake, exhaust;
    std::optional<double> max_speed;  ///< [rad/s]
    /// Length of the exhaust port [m]: the exhaust flow follows the pressures within the time that
    /// a wave needs through it.
    double exhaust_port = 0.065;

    [[nodiscard]] int cylinder_count() const { return static_cast<int>(firing_order.size()); }
    [[nodiscard]] double swept_volume() const;  ///< of one cylinder [m3]
    [[nodiscard]] double clearance_volume() const;  ///< [m3]
    /// Cylinder volume at crank angle after TDC, slider-crank, Heywood eq. 2.6 [m3].
    [[nodiscard]] double volume(double angle) const;
    [[nodiscard]] double volume_rate(double angle) const;  ///< dV/dangle [m3/rad]
    /// Firing TDC of a cylinder number [rad].
    [[nodiscard]] double firing_angle(int cylinder) const;
    [[nodiscard]] int firing_position(int cylinder) const;  ///< 1-based place in the firing order

    bool operator==(const Engine&) const = default;
};

struct Intake {
    std::vector<Bank> banks;
};

}  // namespace plenair::geometry
