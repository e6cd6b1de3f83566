#pragma once

#include "solver/network/point.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What was measured on the parts of a case, in SI units. Made by cases/file, read by the studies.
/// Every uncertainty is the half width that holds the true value with 95 %.
namespace plenair {

/// Entries of a case that can be gauged, between bars.
inline constexpr std::string_view gauged_entries =
    "slot.width|slot.edge_radius|slot.land|throttle.bore|throttle.shaft|"
    "runner.length|runner.diameter|runner.bell_radius";

/// Sizes found with a gauge.
struct GaugeReading {
    std::string entry;  ///< key of the case: "slot.width"
    std::optional<std::size_t> bank = {};  ///< of several banks; none: the only one, or all runners
    std::vector<double>
        x;  ///< stations from the inside face of the end wall x = 0; empty: none [m]
    std::vector<double> value;  ///< at the stations, or per runner, or one [m]
    std::string instrument;
    double uncertainty = 0;  ///< of one value [m]

    [[nodiscard]] bool of_bank(std::size_t b) const { return !bank || *bank == b; }
    [[nodiscard]] double mean() const;
};

/// Leakage above this share of a reading says that the set-up, not the part, was measured.
inline constexpr double usual_leakage = 0.03;

/// One reading of the flow bench, already as mass flow.
struct BenchReading {
    std::string name;
    BenchSetUp set_up = BenchSetUp::slot;
    std::optional<std::size_t> bank = {};  ///< of several banks the one on the bench
    int runner = 0;  ///< place in its bank from 1, for one runner alone
    double depression = 0;  ///< [Pa]
    double barometer = 101325;  ///< air before the part, total [Pa]
    double temperature = 293.15;  ///< [K]
    double gas_constant = 0;  ///< of the room air [J/(kg K)]
    double density = 0;  ///< to which a volume flow refers, else of the room air [kg/m3]
    bool by_volume = false;  ///< was read in CFM or m3/h
    double flow_read = 0;  ///< leakage included [kg/s]
    double leakage = 0;  ///< [kg/s]
    double uncertainty = 0;  ///< relative
    std::optional<double> throttle_angle;  ///< as the case's bench has it [rad]; none: open
    /// Stations along the slot, or one of each hole, from x = 0 [m], and the flow there over the
    /// mean of all of them, as a probe finds it; empty: not read.
    std::vector<double> station_x, station_flow;
    double station_uncertainty = 0;  ///< of one of these flows, over the mean
    /// Taps along the header (pre-chamber, else plenum) from x = 0 [m], and the static pressure
    /// there below that of the air before the part [Pa]; empty: not read.
    std::vector<double> tap_x, tap_drop;
    double tap_uncertainty = 0;  ///< of one of these pressures [Pa]

    [[nodiscard]] double flow() const { return flow_read - leakage; }
    [[nodiscard]] bool leaks() const { return leakage > usual_leakage * flow_read; }
    /// Flow, stations and taps.
    [[nodiscard]] std::size_t count() const { return 1 + station_x.size() + tap_x.size(); }
};

enum class LambdaSensor { runner, collector, before_turbine };

/// Readings at one operating point, engine steady. Lists are by cylinder; `lambda` has
/// all of them, with none where not measured.
struct EngineReading {
    std::size_t point = 0;  ///< index in the case
    std::string name;  ///< of the point
    std::vector<std::optional<double>> lambda;
    double lambda_uncertainty = 0;
    LambdaSensor sensor = LambdaSensor::runner;
    bool compensated = true;  ///< for exhaust pressure
    std::vector<std::optional<double>> exhaust_temperature;  ///< [K]
    double temperature_uncertainty = 0;  ///< [K]
    std::vector<double> probe_distance;  ///< from the flange [m]; empty: not stated
    std::vector<double> trims;  ///< active then, + is more fuel
    /// Which lambda sensor stood at each cylinder: the cylinder where it is at home, from 0; empty:
    /// each its own.
    std::vector<std::size_t> sensor_order;
    std::optional<double> air_flow;  ///< [kg/s]
    double air_flow_uncertainty = 0;  ///< relative
    std::optional<double> plenum_pressure;  ///< mean over time [Pa]
    /// Where its tap is, from the inside face of the end wall x = 0 [m]; none: mean along the
    /// plenum.
    std::optional<double> tap;
    std::size_t tap_bank = 0;
    double pressure_uncertainty = 0;  ///< relative

    [[nodiscard]] std::size_t lambda_count() const;
    [[nodiscard]] std::size_t sensor_of(std::size_t cylinder) const {
        return sensor_order.empty() ? cylinder : sensor_order[cylinder];
    }
};

/// Flow of each cylinder's injectors over their mean, from a flow-match sheet.
struct InjectorSheet {
    std::vector<double> flow;
    double uncertainty = 0;  ///< relative
};

/// A steady part of a logger's file, averaged.
struct SteadyPart {
    std::string file, point;
    double begin = 0, end = 0;  ///< [s]
    std::size_t rows = 0;
    double speed = 0;  ///< [rad/s]
    std::vector<double> lambda_scatter;  ///< standard deviation of the rows, by cylinder
};

struct Measured {
    std::string path, text, title;
    bool made_up = false;  ///< numbers of an example, not of metal
    std::vector<GaugeReading> gauges;
    std::vector<BenchReading> bench;
    std::vector<EngineReading> engine;
    std::optional<InjectorSheet> injectors;
    std::vector<SteadyPart> steady;
    std::vector<std::string> defaults;  ///< uncertainties that the file does not state
    std::vector<std::string> warnings;

    [[nodiscard]] std::size_t reading_count() const;
};

/// Usual uncertainties where a file states none (common practice).
namespace usual {
inline constexpr double bench_flow = 0.015;  ///< relative; repeats to 0.5 %, absolute 1 to 2 %
inline constexpr double lambda = 0.01;
inline constexpr double exhaust_temperature = 10;  ///< [K]
inline constexpr double air_flow = 0.02;  ///< relative
inline constexpr double pressure = 0.005;  ///< relative
inline constexpr double station_flow = 0.02;  ///< of the mean, by a probe that is moved
inline constexpr double tap = 0.01;  ///< of the depression on the bench
inline constexpr double injector_sheet = 0.01;  ///< relative
/// Of a gauge by its name: pin gauge, micrometer, bore gauge 0.01 mm, calliper 0.05, radius gauge
/// 0.1, rule 0.5. @returns nothing for another name [m]
[[nodiscard]] std::optional<double> gauge(const std::string& instrument);
}  // namespace usual

/// Isentropic mass flow over Cd and area: p1/sqrt(R T1) psi of a bench reading [kg/(s m2)].
[[nodiscard]] double ideal_flux(double pressure,
                                double temperature,
                                double gas_constant,
                                double depression);

/// The same of the reading as it was taken.
[[nodiscard]] double ideal_flux(const BenchReading& reading);

/// The volume flow of a reading at another depression with the same Cd and room air: isentropic,
/// not by the square root of the depression.
[[nodiscard]] double at_depression(const BenchReading& reading, double depression);

}  // namespace plenair
