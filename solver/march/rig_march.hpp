#pragma once

#include "geometry/intake.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/rig_flows.hpp"
#include "solver/march/runge_kutta.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"
#include "solver/network/right_hand_side.hpp"

#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// What stands before and behind a rig, over time [s]; one left empty stays as the bench has it.
struct RigDrive {
    std::function<double(double)> source_pressure, room_pressure;  ///< [Pa]
    std::function<double(double)> throttle_angle;  ///< plate angle [rad]
    double smallest_angle = 0;  ///< of `throttle_angle` [rad]
};

/// What a series shows.
enum class SeriesKind { pressure, temperature, flow, mass, angle };

/// One quantity over the times of a result, in SI units.
struct Series {
    std::string name;  ///< "plenum pressure", "runner 2 flow"
    SeriesKind kind = SeriesKind::pressure;
    std::vector<double> value;
};

/// A rig in time: its network, its state, and what drives it.
class RigMarch final {
public:
    /// Air at rest at the source state everywhere. @throws InputError where the intake cannot be
    /// built
    RigMarch(const geometry::Intake& intake,
             const BenchSettings& air,
             const Model& model,
             RigDrive drive);
    RigMarch(const RigMarch&) = delete;
    RigMarch& operator=(const RigMarch&) = delete;

    /// Air at rest in all parts, or in plenum and runners alone [Pa], [K]; what is not given stays.
    void fill(std::optional<double> pressure,
              std::optional<double> temperature,
              bool from_plenum_on);
    /// The steady flow of the first moment. @returns why there is none; empty: done
    [[nodiscard]] std::string settle();
    /// Marches to a time by the stepper's own stability, shorter where waves ask for it.
    /// @returns false where the state left what is physical; `failure` says so
    [[nodiscard]] bool march_to(double time);

    [[nodiscard]] double time() const { return time_; }
    [[nodiscard]] long steps() const { return steps_; }
    [[nodiscard]] const std::string& failure() const { return failure_; }
    /// What is shown at the present time, always in the same order: what drives the rig, pressure
    /// (mean, at x = 0, at the far end) and temperature of each chamber, pressure of each runner,
    /// flows outwards, mass inside.
    [[nodiscard]] std::vector<Series> series() const;
    /// Appends the present values to series of that order.
    void append(std::vector<Series>& series);
    /// Mass and energy that the books of inflow and outflow miss, over what the rig held or what
    /// passed, whichever is more [-].
    [[nodiscard]] double mass_balance() const;
    [[nodiscard]] double energy_balance() const;

private:
    struct Probe {
        std::string name;
        SeriesKind kind;
        std::function<double()> value;
    };
    void make_probes();
    void probe_chain(const Chain& chain);
    void probe_flows();
    void drive(double time);
    void observe();
    [[nodiscard]] bool try_to(double time, double factor, RightHandSide& rhs);
    [[nodiscard]] double total(Layout::Total which) const;

    geometry::Intake intake_;
    RigDrive drive_;
    Network network_;
    RightHandSide rhs_, first_order_rhs_;
    RungeKutta4 stepper_;
    std::vector<double> state_, rate_;
    Stored began_;
    double time_ = 0;
    long steps_ = 0;
    std::string failure_;
    // Of the moment that `append` sees.
    Snapshot snapshot_;
    RigFlows flows_;
    double angle_ = 0;
    std::vector<Probe> probes_;
};

/// Who waits for a march.
struct Watcher {
    const std::atomic<bool>* stop = nullptr;  ///< once set, the march ends early
    std::function<void(double done, double total)> progress;  ///< times that are done, in samples
};

}  // namespace plenair
