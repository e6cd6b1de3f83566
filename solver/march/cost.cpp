#include "solver/march/cost.hpp"

#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/expected_waves.hpp"
#include "solver/network/cells.hpp"
#include "solver/network/fixed_numbers.hpp"
#include "solver/network/network.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

namespace plenair {

namespace {

constexpr double usual_cycles = 12;
// Measured on a present desktop core (3 GHz, AVX2), hill-climb four on cells of 2 to 23 mm.
constexpr double seconds_per_cell = 1.5e-7;  // and step
constexpr double seconds_per_end = 2.0e-6;  // and step: throttle, mouth with valve and cylinder
// Bytes: columns of a crank table; state, history of the iteration and work arrays of a cell.
constexpr double bytes_per_row = 10 * 8;
constexpr double bytes_per_cell = 4000;
constexpr double base_megabytes = 20;

/// What shortens the step, part by part.
class Finest final {
public:
    explicit Finest(Cost& cost) : cost_(cost) {}

    void add(const std::string& part, double rate, double cell) {
        if (rate > rate_) {
            rate_ = rate;
            cost_.finest = part;
            cost_.finest_cell = cell;
        }
    }
    [[nodiscard]] double rate() const { return rate_; }

private:
    Cost& cost_;
    double rate_ = 0;
};

double sound_of(const OperatingPoint& point) {
    constexpr double damp_air = 288.0;  // J/(kg K), with 5.5 g of water in a kilogram
    constexpr double gamma_r = ChargeGas{}.gamma * damp_air;
    return std::sqrt(gamma_r * point.temperature);
}

/// Fastest return of a slot's flow to the steady one: twice its velocity over Cd^2 and the length
/// of its air column, over what the stepper takes.
double slot_rate(const geometry::Slot& slot, double volume_flow) {
    constexpr double cd_squared = 0.5;
    constexpr double fastest = 320.0;  // choked [m/s]
    constexpr double peak = 2.0;  // over the mean
    double area = slot.area();
    double least_width = 1.0;
    for (const auto& piece : slot.pieces) {
        least_width = std::min(least_width, piece.width.at(piece.x + 0.5 * piece.length));
    }
    for (const auto& hole : slot.holes) {
        least_width = std::min(least_width, hole.hydraulic_diameter);
    }
    const double length = slot.land + least_width;
    const double velocity = std::min(peak * volume_flow / std::max(area, 1e-12), fastest);
    return velocity / (cd_squared * std::max(length, 1e-6)) / real_axis;
}

void add_bank(const geometry::Bank& bank,
              const std::string& name,
              const geometry::Engine& engine,
              const OperatingPoint& point,
              const Model& model,
              int& runners,
              Cost& cost,
              Finest& finest) {
    const double sound = sound_of(point);
    const auto chamber = [&](const geometry::Chamber& c, geometry::ChamberKind kind) {
        const double cells = chamber_cells(bank, c.length, model);
        cost.cells += cells;
        finest.add("the " + geometry::chamber_name(name, kind),
                   stirred_sound * sound * cells / (c.length * model.courant),
                   c.length / cells);
    };
    if (bank.pre_chamber) {
        chamber(*bank.pre_chamber, geometry::ChamberKind::pre_chamber);
    }
    if (bank.plenum) {
        chamber(*bank.plenum, geometry::ChamberKind::plenum);
    }
    for (const auto& runner : bank.runners) {
        const double cells = runner_cells(runner, model);
        const double stroke = std::numbers::pi / point.speed;
        const double wave =
            runner_wave(sound, engine.swept_volume(), stroke, runner.area().at(runner.length));
        cost.cells += cells;
        finest.add("runner " + std::to_string(++runners),
                   wave * cells / (runner.length * model.courant),
                   runner.length / cells);
    }
    if (bank.slot) {
        const double air = engine.swept_volume() * static_cast<double>(bank.runners.size()) *
                           point.speed / (4.0 * std::numbers::pi);
        finest.add(
            "the " + (name.empty() ? name : name + " ") + "slot", slot_rate(*bank.slot, air), 0.0);
    }
}

std::string number(const char* format, double value) {
    char text[64];
    std::snprintf(text, sizeof text, format, value);
    return text;
}

/// The larger number of two digits, for an entry that shall be enough.
double rounded_up(double value) {
    double unit = 1.0;
    while (value >= 100.0 * unit) {
        unit *= 10.0;
    }
    while (value < 10.0 * unit) {
        unit *= 0.1;
    }
    return std::ceil(value / unit - 1e-9) * unit;
}

bool affordable(const Cost& cost) {
    return cost.megabytes <= most_megabytes && cost.seconds <= most_seconds;
}

/// Largest speed of a case file [rad/s].
constexpr double fastest_engine = 25000.0 * std::numbers::pi / 30.0;

double enough_speed(const geometry::Intake& intake,
                    const geometry::Engine& engine,
                    OperatingPoint point,
                    const Model& model) {
    constexpr double rpm = std::numbers::pi / 30.0;
    while (!affordable(point_cost(intake, engine, point, model))) {
        point.speed = rounded_up(1.1 * point.speed / rpm) * rpm;
        if (point.speed > fastest_engine) {
            return 0.0;
        }
    }
    return point.speed;
}

double enough_cell(const geometry::Intake& intake,
                   const geometry::Engine& engine,
                   const OperatingPoint& point,
                   Model model) {
    Model certified = model;
    certified.refinement = std::min(certified.refinement, 1.0);
    certified.largest_cell.reset();
    const bool finer = model.refinement > 1.0 || model.largest_cell;
    if (!finer || !affordable(point_cost(intake, engine, point, certified))) {
        return 0.0;
    }
    constexpr double mm = 1e-3;
    constexpr double largest = 1.0;
    model.largest_cell = model.largest_cell.value_or(mm);
    while (!affordable(point_cost(intake, engine, point, model)) && *model.largest_cell < largest) {
        *model.largest_cell = rounded_up(1.1 * *model.largest_cell / mm) * mm;
    }
    return *model.largest_cell;
}

}  // namespace

Cost point_cost(const geometry::Intake& intake,
                const geometry::Engine& engine,
                const OperatingPoint& point,
                const Model& model) {
    Cost cost;
    Finest finest(cost);
    int runners = 0;
    int ends = 0;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        const auto& bank = intake.banks[i];
        add_bank(bank, geometry::bank_name(intake, i), engine, point, model, runners, cost, finest);
        ends += static_cast<int>(bank.throttles.size() + bank.runners.size());
    }
    const double cycle = 4.0 * std::numbers::pi / point.speed;
    const double cylinders = engine.cylinder_count();
    cost.steps = cycle * finest.rate() + 6.0 * cylinders;
    cost.seconds =
        usual_cycles * cost.steps * (seconds_per_end * ends + seconds_per_cell * cost.cells);
    cost.megabytes = base_megabytes + 1e-6 * (2.0 * cost.steps * (cylinders * bytes_per_row + 8.0) +
                                              cost.cells * bytes_per_cell);
    return cost;
}

TooCostly too_costly(const geometry::Intake& intake,
                     const geometry::Engine& engine,
                     const OperatingPoint& point,
                     const Model& model) {
    const Cost cost = point_cost(intake, engine, point, model);
    if (affordable(cost)) {
        return {};
    }
    TooCostly refused;
    refused.why = number("one cycle lasts %.3g s", 4.0 * std::numbers::pi / point.speed) +
                  (cost.steps < 1e6 ? number(" and needs %.0f steps", cost.steps)
                                    : number(" and needs %.3g million steps", 1e-6 * cost.steps)) +
                  ", by " + cost.finest;
    if (cost.finest_cell > 0.0) {
        refused.why += " with cells of " +
                       geometry::format_quantity(cost.finest_cell, geometry::Dimension::length);
    }
    refused.why += cost.megabytes > most_megabytes
                       ? number(": about %.0f MB", cost.megabytes) +
                             number(" of memory, %.0f MB at most", most_megabytes)
                       : number(": about %.2g h", cost.seconds / 3600.0) +
                             number(" of computing, %.0f h at most", most_seconds / 3600.0);
    refused.speed = enough_speed(intake, engine, point, model);
    refused.cell = enough_cell(intake, engine, point, model);
    return refused;
}

}  // namespace plenair
