#include "solver/march/response.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

constexpr double smallness = 1e-4;  // of the pulse, of the pressure that it is added to
// Samples a period of the highest frequency: the pulse has nothing left at half that rate.
constexpr double samples_per_period = 16;
// Width of the pulse exp(-((t - t0)/w)^2) in periods of the highest frequency, which has a fifth of
// the strength of the lowest: exp(-(pi f w)^2).
constexpr double pulse_width = 0.4;
constexpr double pulse_middle = 4;  // t0 in widths: begins at 1e-7 of its height
constexpr double rest_of_decay = 1e-4;  // what may be left of the largest deviation at the end
// Without more damping a rig that rings on would be cut off in the middle of it.
double damping_for(double left, double followed) {
    return left > rest_of_decay ? arithmetic::log(left / rest_of_decay) / followed : 0.0;
}

/// Largest deviation of any pressure from its first value among the last `count` samples.
double deviation(const std::vector<Series>& series, std::size_t count) {
    double largest = 0.0;
    for (const Series& s : series) {
        if (s.kind != SeriesKind::pressure) {
            continue;
        }
        const std::size_t from = s.value.size() > count ? s.value.size() - count : 0;
        for (std::size_t i = from; i < s.value.size(); ++i) {
            largest = std::max(largest, std::abs(s.value[i] - s.value.front()));
        }
    }
    return largest;
}

/// Laplace integral of a sampled deviation from its first value.
std::complex<double> integral(const std::vector<double>& value,
                              double interval,
                              double frequency,
                              double damping) {
    const double angle = 2.0 * std::numbers::pi * frequency * interval;
    const std::complex<double> turn =
        arithmetic::exp(-damping * interval) *
        std::complex<double>(arithmetic::cos(angle), -arithmetic::sin(angle));
    std::complex<double> sum = 0.0;
    // Horner's scheme from the end: one product a sample.
    for (std::size_t i = value.size(); i-- > 0;) {
        sum = sum * turn + (value[i] - value.front());
    }
    return sum * interval;
}

}  // namespace

ResponseResult solve_response(const geometry::Intake& intake,
                              const ResponseSettings& settings,
                              const Model& model,
                              const Watcher& watcher) {
    ResponseResult result;
    result.frequency = settings.frequency;
    const double highest = settings.frequency.back();
    const double at_rest = settings.air.side_pressure(settings.in_room);
    const double height = smallness * at_rest;
    const double width = pulse_width / highest;
    const auto pulse = [=](double t) {
        const double x = t / width - pulse_middle;
        return height * arithmetic::exp(-x * x);
    };
    RigDrive drive;
    (settings.in_room ? drive.room_pressure : drive.source_pressure) = [=](double t) {
        return at_rest + pulse(t);
    };
    RigMarch march(intake, settings.air, model, drive);
    if (!settings.about_rest) {
        result.failure = march.settle();
    }
    std::vector<Series> series = march.series();
    std::vector<double> pulses;
    const double interval = 1.0 / (samples_per_period * highest);
    // A look back over a period of the lowest frequency, at least over the pulse itself.
    const auto window = static_cast<std::size_t>(
        std::max(1.0 / settings.frequency.front(), 2.0 * pulse_middle * width) / interval);
    for (std::size_t i = 0; result.failure.empty(); ++i) {
        const double time = static_cast<double>(i) * interval;
        if (watcher.stop != nullptr && watcher.stop->load()) {
            result.failure = "stopped";
        } else if (!march.march_to(time)) {
            result.failure = march.failure();
        } else {
            pulses.push_back(pulse(time));
            march.append(series);
            if (watcher.progress && i % window == 0) {
                watcher.progress(static_cast<double>(i), settings.longest / interval);
            }
            const bool last = time >= settings.longest;
            if (last || (i > 2 * window && i % window == 0)) {
                const double left = deviation(series, window) / deviation(series, i + 1);
                result.damping = damping_for(left, time);
                if (last || result.damping == 0) {
                    break;
                }
            }
        }
    }
    result.followed = march.time();
    result.steps = march.steps();
    result.finished = result.failure.empty();
    if (!result.finished) {
        return result;
    }
    std::vector<std::complex<double>> of_pulse;
    for (const double f : settings.frequency) {
        of_pulse.push_back(integral(pulses, interval, f, result.damping));
    }
    for (const Series& s : series) {
        AnsweringSeries answer{s.name, s.kind, {}};
        for (std::size_t i = 0; i < settings.frequency.size(); ++i) {
            answer.per_pascal.push_back(
                integral(s.value, interval, settings.frequency[i], result.damping) / of_pulse[i]);
        }
        result.series.push_back(std::move(answer));
    }
    return result;
}

}  // namespace plenair
