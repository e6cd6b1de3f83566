#pragma once

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// What is burned, and with how much air.
struct Combustion {
    bool motored = false;
    double lambda = 1.0;
    double stoich = 14.6;  ///< air/fuel by mass
    double heating_value = 42.5e6;  ///< lower [J/kg]
    double hydrogen_carbon = 1.87;  ///< H/C of the fuel, for the products
    double oxygen_carbon = 0.0;
    double start = -0.349065850;  ///< heat release begins, after firing TDC [rad]
    double duration = 1.04719755;  ///< [rad]
    double wiebe_a = 5.0, wiebe_m = 2.0;
    double wall_temperature = 450.0;  ///< cylinder wall [K]
    bool wall_heat = true;

    bool operator==(const Combustion&) const = default;
};

/// Pressure behind exhaust valves against crank angle, as it was measured or computed elsewhere.
/// Straight between the angles, and over the end of the cycle to its first one.
struct ExhaustTable {
    std::vector<int> cylinders;  ///< their numbers; empty: all
    bool own_angle = false;  ///< after firing TDC of each cylinder, else of cylinder 1
    std::vector<double> angle;  ///< rising, within a cycle [rad]
    std::vector<double> pressure;  ///< [Pa]

    bool operator==(const ExhaustTable&) const = default;
};

/// One operating point: the air before the throttle, the exhaust, the speed.
struct OperatingPoint {
    std::string name;
    double speed = 0;  ///< crank [rad/s]
    double pressure = 101325;  ///< total, before the throttle [Pa]
    double temperature = 293.15;  ///< total [K]
    double humidity_ratio = 0;  ///< kg water per kg dry air
    std::optional<double> throttle_angle;  ///< plate angle [rad]; none: wide open
    double exhaust_pressure = 101325;  ///< of cylinders without a table [Pa]
    std::vector<ExhaustTable> exhaust_tables;  ///< at most one of each cylinder
    double exhaust_temperature = 1000;  ///< [K]
    Combustion combustion;

    bool operator==(const OperatingPoint&) const = default;
};

/// The slot insert; each runner by itself; all runners; runner, port and valve at a fixed lift.
enum class BenchSetUp { slot, runners, all, valve };

/// What stands before the valve of a head on the bench: its port alone behind an entry without
/// loss, its runner with its own mouth, or the whole intake.
enum class BenchHead { port, runner, intake };

/// Air comes from the feed and leaves through slot and runners, or is drawn in through these and
/// leaves where the feed stands else.
enum class BenchDirection { out, in };

/// Flow bench: room air drawn or blown through parts of the intake at a depression.
struct BenchSettings {
    BenchSetUp set_up = BenchSetUp::all;
    double pressure = 101325;  ///< room / source, total [Pa]
    double temperature = 293.15;  ///< [K]
    double depression = 6972.9;  ///< [Pa], 28 inH2O
    BenchDirection direction = BenchDirection::out;
    BenchHead head = BenchHead::runner;  ///< of BenchSetUp::valve
    std::optional<double> throttle_angle;  ///< plate angle [rad]; none: wide open
    std::vector<double> lifts;  ///< of BenchSetUp::valve [m]
    std::optional<double> gas_constant;  ///< [J/kg K], default that of the air
    std::optional<double> gamma;

    /// Pressure before the parts, or of the room behind them [Pa].
    [[nodiscard]] double side_pressure(bool room) const {
        const bool behind = (direction == BenchDirection::out) == room;
        return behind ? pressure - depression : pressure;
    }
};

}  // namespace plenair
