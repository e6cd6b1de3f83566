#include "solver/cylinder/crank_table.hpp"

#include "geometry/contract.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/laws/wiebe.hpp"
#include "solver/laws/woschni.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <numbers>
#include <numeric>

namespace plenair {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double cycle = 4.0 * pi;

double wrap(double angle) {
    const double turned = std::fmod(angle, cycle);
    return turned < 0.0 ? turned + cycle : turned;
}

/// Events of every cylinder, counted from a crank angle on, ascending.
std::vector<double> event_angles(const geometry::Engine& engine,
                                 const Combustion& burn,
                                 double start) {
    std::vector<double> events;
    for (std::size_t k = 0; k < engine.firing_angles.size(); ++k) {
        const double tdc = engine.firing_angles[k];
        for (const geometry::Valve* valve : {&engine.intake, &engine.exhaust}) {
            events.push_back(wrap(tdc + valve->opens - start));
            events.push_back(wrap(tdc + valve->closes - start));
        }
        if (!burn.motored) {
            events.push_back(wrap(tdc + burn.start - start));
            events.push_back(wrap(tdc + burn.start + burn.duration - start));
        }
    }
    std::sort(events.begin(), events.end());
    return events;
}

/// The cycle begins at the event with the longest pause before it. An even-firing engine then has
/// the same steps in every firing interval, so that mirrored engines march through mirrored states.
double cycle_start(const geometry::Engine& engine, const Combustion& burn) {
    const std::vector<double> events = event_angles(engine, burn, 0.0);
    double best = events.front();
    double longest = events.front() + cycle - events.back();
    for (std::size_t i = 0; i + 1 < events.size(); ++i) {
        const double pause = events[i + 1] - events[i];
        if (pause > longest + 1e-6) {
            longest = pause;
            best = events[i + 1];
        }
    }
    return best;
}

/// Rate of loss of ln(fresh air) per crank angle: x'/(L - x) with x the Wiebe burned fraction, L =
/// max(1, lambda). The trapped air is then known at every angle from what is left, without a memory
/// of the closing event.
/// theory T32
double burn_rate(const Combustion& burn, double angle) {
    if (burn.motored) {
        return 0.0;
    }
    const double since = wrap(angle - burn.start);
    const double y = since / burn.duration;
    // The rate jumps to zero at the end, where a step ends too: rounding must not choose the side.
    if (y <= 1e-9 || y >= 1.0 - 1e-9) {
        return 0.0;
    }
    const double slope = laws::wiebe_rate(y, burn.wiebe_a, burn.wiebe_m) / burn.duration;
    const double supply = std::max(1.0, burn.lambda);
    return slope / (supply - laws::wiebe(y, burn.wiebe_a, burn.wiebe_m));
}

/// The table of a cylinder; null: it has the constant pressure of the point.
const ExhaustTable* exhaust_table(const OperatingPoint& point, int cylinder) {
    const auto found = std::find_if(point.exhaust_tables.begin(),
                                    point.exhaust_tables.end(),
                                    [cylinder](const ExhaustTable& table) {
                                        return table.cylinders.empty() ||
                                               std::find(table.cylinders.begin(),
                                                         table.cylinders.end(),
                                                         cylinder) != table.cylinders.end();
                                    });
    return found == point.exhaust_tables.end() ? nullptr : &*found;
}

void fill_node(CrankTable& table,
               const geometry::Engine& engine,
               const OperatingPoint& point,
               std::size_t node,
               double time) {
    const double stroke_speed = engine.stroke * point.speed / pi;  // mean piston speed
    const double bore_area = 0.25 * pi * engine.bore * engine.bore;
    for (int c = 0; c < table.cylinders; ++c) {
        const std::size_t j =
            node * static_cast<std::size_t>(table.cylinders) + static_cast<std::size_t>(c);
        const double angle = cylinder_angle(engine, c + 1, table.start_angle + point.speed * time);
        // Steps end exactly on events: a hair later, rounding cannot put two cylinders on different
        // sides.
        const double after = angle + 1e-9;
        const double volume = engine.volume(angle);
        table.volume[j] = volume;
        table.volume_rate[j] = engine.volume_rate(angle) * point.speed;
        table.intake[j] = engine.intake.effective_area(angle);
        table.exhaust[j] = engine.exhaust.effective_area(angle);
        table.burn[j] = burn_rate(point.combustion, angle) * point.speed;
        table.motored[j] = arithmetic::pow(volume, laws::motored_exponent);
        const double height = (volume - engine.clearance_volume()) / bore_area;
        table.wall_area[j] = 2.0 * bore_area + pi * engine.bore * height;
        const bool intake_open = after >= engine.intake.opens && after <= engine.intake.closes;
        const bool closed = after > engine.intake.closes || after < engine.exhaust.opens;
        const bool burning =
            !point.combustion.motored &&
            wrap(after - point.combustion.start) < engine.exhaust.opens - point.combustion.start;
        const laws::WoschniPhase& phase =
            closed ? laws::woschni_burning : laws::woschni_gas_exchange;
        table.piston[j] = phase.piston * stroke_speed;
        table.combustion_factor[j] = burning ? phase.burning * engine.swept_volume() : 0.0;
        table.open[j] = intake_open ? 1.0 : 0.0;
        if (!table.exhaust_pressure.empty()) {
            table.exhaust_pressure[j] =
                exhaust_pressure(engine, point, c + 1, table.start_angle + point.speed * time);
        }
    }
}

}  // namespace

double cylinder_angle(const geometry::Engine& engine, int cylinder, double crank_angle) {
    return wrap(crank_angle - engine.firing_angle(cylinder));
}

double exhaust_pressure(const geometry::Engine& engine,
                        const OperatingPoint& point,
                        int cylinder,
                        double crank_angle) {
    const ExhaustTable* table = exhaust_table(point, cylinder);
    if (table == nullptr) {
        return point.exhaust_pressure;
    }
    const double angle = cylinder_angle(engine, table->own_angle ? cylinder : 1, crank_angle);
    const auto& at = table->angle;
    PLENAIR_EXPECT(!at.empty() && at.size() == table->pressure.size());
    PLENAIR_EXPECT(std::is_sorted(at.begin(), at.end(), std::less_equal<>()));
    const auto above = std::upper_bound(at.begin(), at.end(), angle);
    const auto next =
        above == at.end() ? std::size_t{0} : static_cast<std::size_t>(above - at.begin());
    const std::size_t last = (next + at.size() - 1) % at.size();
    const double span = at[next] - at[last] + (next <= last ? cycle : 0.0);
    const double since = angle - at[last] + (angle < at[last] ? cycle : 0.0);
    return table->pressure[last] + since / span * (table->pressure[next] - table->pressure[last]);
}

int StepPlan::total() const {
    return std::accumulate(steps.begin(), steps.end(), 0);
}

double StepPlan::longest() const {
    PLENAIR_EXPECT(edges.size() == steps.size() + 1);
    double longest = 0.0;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        longest = std::max(longest, (edges[i + 1] - edges[i]) / steps[i]);
    }
    return longest;
}

void StepPlan::refine(int wanted) {
    PLENAIR_EXPECT(!steps.empty() && edges.size() == steps.size() + 1);
    for (int count = total(); count < wanted; ++count) {
        std::size_t longest = 0;
        double length = 0.0;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const double own = (edges[i + 1] - edges[i]) / steps[i];
            // Equal intervals of an even-firing engine, up to rounding: in turn, so that all get
            // one.
            if (own > length * (1.0 + 1e-9)) {
                length = own;
                longest = i;
            }
        }
        ++steps[longest];
    }
}

StepPlan plan_steps(const geometry::Engine& engine,
                    const OperatingPoint& point,
                    double longest_step) {
    PLENAIR_EXPECT(longest_step > 0.0 && point.speed > 0.0 && engine.cylinder_count() > 0);
    const double longest = longest_step * point.speed;  // crank angle
    StepPlan plan;
    plan.start = cycle_start(engine, point.combustion);
    plan.edges = {0.0, cycle};
    // Closer than a third of a step, angles share an edge, the first one's: a tiny step would cost
    // as much as a full one.
    const auto add_edge = [&](double angle) {
        const auto next = std::upper_bound(plan.edges.begin(), plan.edges.end() - 1, angle);
        if (angle - *std::prev(next) > 0.33 * longest && *next - angle > 0.33 * longest) {
            plan.edges.insert(next, angle);
        }
    };
    for (const double event : event_angles(engine, point.combustion, plan.start)) {
        add_edge(event);
    }
    // Before the gas exchange dead centre the exhaust flow turns within less than a step.
    for (const double tdc : engine.firing_angles) {
        add_edge(wrap(tdc + 2.0 * pi - plan.start));
    }
    for (std::size_t i = 0; i + 1 < plan.edges.size(); ++i) {
        const double span = plan.edges[i + 1] - plan.edges[i];
        plan.steps.push_back(std::max(1, static_cast<int>(std::ceil(span / longest - 1e-9))));
    }
    return plan;
}

CrankTable make_crank_table(const geometry::Engine& engine,
                            const OperatingPoint& point,
                            double longest_step) {
    return make_crank_table(engine, point, plan_steps(engine, point, longest_step));
}

namespace {

/// The steps, and room for so many rows of the rest.
CrankTable empty_table(const geometry::Engine& engine,
                       const OperatingPoint& point,
                       const StepPlan& plan,
                       int nodes) {
    PLENAIR_EXPECT(!plan.steps.empty() && plan.edges.size() == plan.steps.size() + 1);
    PLENAIR_EXPECT(plan.edges.front() == 0.0 && plan.edges.back() == cycle);
    PLENAIR_EXPECT(std::is_sorted(plan.edges.begin(), plan.edges.end(), std::less_equal<>()));
    CrankTable table;
    table.cylinders = engine.cylinder_count();
    table.start_angle = plan.start;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const double span = plan.edges[i + 1] - plan.edges[i];
        for (int k = 0; k < plan.steps[i]; ++k) {
            table.step.push_back(span / plan.steps[i] / point.speed);
        }
    }
    table.nodes = nodes;
    const std::size_t size = static_cast<std::size_t>(table.nodes * table.cylinders);
    for (const auto member : CrankTable::members()) {
        if (member != &CrankTable::exhaust_pressure || !point.exhaust_tables.empty()) {
            (table.*member).assign(size, 0.0);
        }
    }
    return table;
}

}  // namespace

CrankTable first_crank_rows(const geometry::Engine& engine,
                            const OperatingPoint& point,
                            const StepPlan& plan) {
    CrankTable table = empty_table(engine, point, plan, 2);
    fill_node(table, engine, point, 0, 0.0);
    fill_node(table, engine, point, 1, 0.5 * table.step.front());
    return table;
}

CrankTable make_crank_table(const geometry::Engine& engine,
                            const OperatingPoint& point,
                            const StepPlan& plan) {
    CrankTable table = empty_table(engine, point, plan, 2 * plan.total() + 1);
    double time = 0.0;
    for (std::size_t k = 0; k < table.step.size(); ++k) {
        fill_node(table, engine, point, 2 * k, time);
        fill_node(table, engine, point, 2 * k + 1, time + 0.5 * table.step[k]);
        time += table.step[k];
    }
    fill_node(table, engine, point, 2 * table.step.size(), cycle / point.speed);
    return table;
}

std::vector<int> trapped_steps(const geometry::Engine& engine,
                               const OperatingPoint& point,
                               const CrankTable& table) {
    PLENAIR_EXPECT(table.cylinders == engine.cylinder_count());
    const double burn_start = point.combustion.motored ? 0.0 : point.combustion.start;
    const double earliest = engine.intake.closes + geometry::closing_ramp;
    const double wanted = std::max(earliest, std::min(cycle + burn_start, cycle));
    std::vector<int> steps;
    for (int c = 1; c <= engine.cylinder_count(); ++c) {
        const double target =
            wrap(engine.firing_angle(c) + wanted - table.start_angle) / point.speed;
        double time = 0.0;
        int step = 0;
        // Last step edge that is not later than the wanted angle.
        while (step < static_cast<int>(table.step.size()) &&
               time + table.step[static_cast<std::size_t>(step)] <= target + 1e-12) {
            time += table.step[static_cast<std::size_t>(step)];
            ++step;
        }
        steps.push_back(step);
    }
    return steps;
}

}  // namespace plenair
