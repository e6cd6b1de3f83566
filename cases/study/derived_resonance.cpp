#include "cases/study/case.hpp"
#include "cases/study/derived.hpp"
#include "solver/gas/mixture.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

/// Resonances of runners and chambers, and the speeds at which the engine's events meet them.
namespace plenair::study {

namespace {

using std::numbers::pi;

/// A flanged end moves out by 8/(3 pi) of its radius, near enough to Rayleigh's 0.82 (Kinsler et
/// al., Fundamentals of Acoustics, 2000, ch. 10; Levine and Schwinger 1948: 0.61 without flange).
constexpr double flanged_end = 0.8217;

/// Waves of the quarter-wave pipe in the time between two intake events that a tuned runner is made
/// for: 3 to 5 (common practice).
constexpr int first_order = 3, last_order = 5;

/// Ratio of the resonance of runner and cylinder to the crank at which the tuning lies (Engelman,
/// ASME 73-WA/DGP-2, 1973: 2.0 to 2.5, most often 2.1).
constexpr double engelman = 2.1;

/// Crank speed of the engine at which an event once in 4 pi of crank comes `frequency / order`
/// times a second [rad/s].
double speed_of(double frequency, double order) {
    return 4 * pi * frequency / order;
}

void add_pipe(const geometry::Bank& bank, const Case& c, double sound, Sheet& sheet) {
    const auto& runners = bank.runners;
    const auto mean = [&runners](auto number) {
        double sum = 0;
        for (const auto& runner : runners) sum += number(runner);
        return sum / static_cast<double>(runners.size());
    };
    const bool alike = std::all_of(runners.begin(), runners.end(), [&](const auto& r) {
        return r.length == runners.front().length;
    });
    const std::string which = alike ? "each runner" : "the mean runner";
    const double length = mean([](const auto& r) { return r.length; });
    const double radius = mean([](const auto& r) { return 0.5 * r.mouth_diameter(); });
    const double quarter = sound / (4 * (length + flanged_end * radius));
    sheet.add("runner.quarter_wave",
              "quarter wave of " + which + " behind a closed valve, port included",
              "Hz",
              quarter);
    for (int order = first_order; order <= last_order; ++order) {
        sheet.add("runner.quarter_wave_speed_" + std::to_string(order),
                  "speed at which " + std::to_string(order) +
                      " of these waves fit between two intake events",
                  "rad/s",
                  speed_of(quarter, order));
    }
    const double area = mean([](const auto& r) { return r.volume() / r.length; });
    const double swept = c.engine.swept_volume();
    const double ratio = c.engine.compression_ratio;
    const double cylinder = 0.5 * swept * (ratio + 1) / (ratio - 1);
    const double filling = sound / (2 * pi) * std::sqrt(area / (length * cylinder));
    sheet.add("runner.filling_frequency",
              "resonance of " + which + " and its cylinder at half stroke",
              "Hz",
              filling);
    sheet.add("runner.filling_speed",
              "speed at which it is 2.1 times the crank's, where filling peaks (10 %)",
              "rad/s",
              2 * pi * filling / engelman);
}

void add_half_wave(const geometry::Chamber& room,
                   const std::string& key,
                   const std::string& name,
                   std::size_t cylinders,
                   double sound,
                   Sheet& sheet) {
    const double half = sound / (2 * room.length);
    const auto firing = static_cast<double>(cylinders);
    sheet.add(key + ".half_wave", "half wave along the " + name + ", both ends closed", "Hz", half);
    sheet.add(key + ".half_wave_speed",
              cylinders == 1
                  ? std::string("speed at which intake events of its cylinder come as often")
                  : "speed at which intake events of its " + std::to_string(cylinders) +
                        " cylinders come as often",
              "rad/s",
              speed_of(half, firing));
    sheet.add(key + ".half_wave_speed_2",
              "speed at which every second wave meets one",
              "rad/s",
              speed_of(half, 2 * firing));
}

}  // namespace

double resonance_temperature(const Case& c) {
    constexpr double room = 293.15;
    double sum = 0;
    for (const auto& point : c.points) sum += point.temperature;
    return c.points.empty() ? room : sum / static_cast<double>(c.points.size());
}

void add_resonances(const geometry::Bank& bank, const Case& c, Sheet& sheet) {
    if (!c.has_engine || bank.runners.empty()) return;
    const double sound = gas::dry_air().sound_speed(resonance_temperature(c));
    add_pipe(bank, c, sound, sheet);
    const std::size_t cylinders =
        bank.cylinders.empty() ? bank.runners.size() : bank.cylinders.size();
    if (bank.pre_chamber) {
        add_half_wave(*bank.pre_chamber, "pre_chamber", "pre-chamber", cylinders, sound, sheet);
    }
    if (bank.plenum) add_half_wave(*bank.plenum, "plenum", "plenum", cylinders, sound, sheet);
}

}  // namespace plenair::study
