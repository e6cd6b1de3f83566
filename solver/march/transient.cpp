#include "solver/march/transient.hpp"

#include "solver/arithmetic/real.hpp"

#include <functional>
#include <numbers>

namespace plenair {

namespace {

RigDrive drive_of(const TransientSettings& s) {
    RigDrive drive;
    const auto pressure = [&s](const geometry::Profile& over_time, bool room) {
        const bool swings = s.sine_amplitude > 0 && s.sine_in_room == room;
        std::function<double(double)> made;
        if (swings || !over_time.empty()) {
            const double at_rest = s.air.side_pressure(room);
            const double amplitude = swings ? s.sine_amplitude : 0.0;
            const double rate = 2.0 * std::numbers::pi * s.sine_frequency;
            made = [over_time, at_rest, amplitude, rate](double t) {
                return (over_time.empty() ? at_rest : over_time.at(t)) +
                       amplitude * arithmetic::sin(rate * t);
            };
        }
        return made;
    };
    drive.source_pressure = pressure(s.source_pressure, false);
    drive.room_pressure = pressure(s.room_pressure, true);
    if (!s.throttle_angle.empty()) {
        drive.throttle_angle = [angle = s.throttle_angle](double t) { return angle.at(t); };
        drive.smallest_angle = s.throttle_angle.smallest();
    }
    return drive;
}

}  // namespace

TransientResult solve_transient(const geometry::Intake& intake,
                                const TransientSettings& settings,
                                const Model& model,
                                const Watcher& watcher) {
    RigMarch march(intake, settings.air, model, drive_of(settings));
    TransientResult result;
    result.series = march.series();
    if (settings.steady_start) {
        result.failure = march.settle();
    } else {
        march.fill(settings.start_pressure, settings.start_temperature, false);
        march.fill(settings.plenum_pressure, settings.plenum_temperature, true);
    }
    for (int i = 0; i <= settings.samples && result.failure.empty(); ++i) {
        if (watcher.stop != nullptr && watcher.stop->load()) {
            result.failure = "stopped";
        } else if (march.march_to(settings.duration * i / settings.samples)) {
            result.time.push_back(march.time());
            march.append(result.series);
            if (watcher.progress) {
                watcher.progress(i, settings.samples);
            }
        } else {
            result.failure = march.failure();
        }
    }
    result.finished = result.failure.empty();
    result.steps = march.steps();
    result.mass_balance = march.mass_balance();
    result.energy_balance = march.energy_balance();
    return result;
}

}  // namespace plenair
