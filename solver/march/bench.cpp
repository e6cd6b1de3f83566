#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/rig_flows.hpp"
#include "solver/march/steady.hpp"
#include "solver/network/right_hand_side.hpp"

#include <algorithm>
#include <array>
#include <cmath>

/// Flow-bench set-ups: from parts and depression to flows.
namespace plenair {

namespace {

void fill_flows(const Network& n,
                const std::vector<double>& state,
                const Snapshot& snapshot,
                BenchResult& result) {
    const RigFlows flows = rig_flows(n, state, snapshot);
    double slot_area = 0.0;
    std::size_t cell = 0;
    for (const Passage& p : n.passages) {
        if (!p.slot) {
            continue;
        }
        const double m = flows.slot[cell++];
        slot_area += p.area;
        if (p.upstream_static) {
            result.hole_flow.push_back(m);
        }
        result.x.push_back(p.x);
        result.flow_per_length.push_back(m / p.length);
    }
    double exit_area = 0.0;
    bool header_done = false;
    for (const Chain& chain : n.chains) {
        if (chain.runner) {
            exit_area += chain.closed_exit
                             ? 0.0
                             : n.face_area[static_cast<std::size_t>(chain.first + chain.count)];
        } else if (!header_done) {
            for (int i = 0; i < chain.count; ++i) {
                result.pressure_x.push_back((i + 0.5) * chain.dx);
                result.static_pressure.push_back(
                    snapshot.pressure[static_cast<std::size_t>(chain.first + i)]);
            }
            header_done = true;
        }
    }
    result.flow_per_runner = flows.runner;
    result.outlet_flow = flows.outlet;
    result.flow =
        (flows.runner.empty() ? flows.through_slot() : flows.through_runners()) + flows.outlet;
    result.reference_area = flows.runner.empty() ? slot_area : exit_area;
}

/// What a bench that draws air in counts is what goes in.
void turn_flows(BenchResult& result) {
    result.flow = -result.flow;
    for (auto* flows : {&result.flow_per_runner, &result.flow_per_length, &result.hole_flow}) {
        for (double& flow : *flows) {
            flow = -flow;
        }
    }
}

/// Says where a slot takes in next to nothing or flows backwards: its header number m is above
/// pi/2.
void note_idle_slot(BenchResult& result) {
    if (result.flow_per_length.empty()) {
        return;
    }
    double sum = 0.0;
    for (const double f : result.flow_per_length) {
        sum += f;
    }
    const double mean = sum / static_cast<double>(result.flow_per_length.size());
    int idle = 0;
    double last = 0.0;
    for (std::size_t i = 0; i < result.x.size(); ++i) {
        if (result.flow_per_length[i] < 1e-3 * mean) {
            ++idle;
            last = result.x[i];
        }
    }
    if (idle > 0) {
        result.notes.push_back(
            "slot inflow: " + std::to_string(idle) + " of " + std::to_string(result.x.size()) +
            " slot cells pass no air outwards or draw it in, the last at x = " +
            geometry::format_quantity(std::round(last * 1e3) * 1e-3, geometry::Dimension::length));
    }
}

// Depressions over source pressure at which a bench of lower depression is solved.
constexpr std::array<double, 3> similar_ratios = {0.02, 0.03, 0.04};

/// Gives the gas the same density and viscosity but so slow a sound that the bench's depression is
/// `ratio` of the source pressure. Flow at low Mach numbers depends on density and depression
/// alone.
void slow_sound(Network& n, double depression, double ratio) {
    const double old = std::max(n.source.pressure, n.room.pressure);
    const double pressure = depression / ratio;
    const auto change = [&](Reservoir& r) {
        r.pressure += pressure - old;
        r.rt *= pressure / old;
    };
    change(n.source);
    change(n.room);
    for (Passage& p : n.passages) {
        change(p.from_room);
        change(p.to_room);
    }
    for (Chain& c : n.chains) {
        if (c.exit_pressure) {
            *c.exit_pressure += pressure - old;
        }
    }
    for (double& rt : n.wall_rt) {
        rt *= pressure / old;
    }
}

/// Numbers of all runners, in the order of the banks: those of their cylinders.
std::vector<int> runner_numbers(const geometry::Intake& intake) {
    std::vector<int> numbers;
    for (const auto& bank : intake.banks) {
        for (std::size_t i = 0; i < bank.runners.size(); ++i) {
            numbers.push_back(geometry::cylinder_of(bank, i));
        }
    }
    return numbers;
}

/// The one end at which the header of a set-up is fed. An insert alone stands in still air.
BenchFeed feed_of(const geometry::Intake& intake, const Network& network) {
    if (intake.banks.size() != 1 || network.chains.empty()) {
        return BenchFeed::elsewhere;
    }
    const auto fed_from = geometry::feed_end(intake.banks.front());
    return fed_from == geometry::FeedEnd::start ? BenchFeed::start
           : fed_from == geometry::FeedEnd::far ? BenchFeed::far
                                                : BenchFeed::elsewhere;
}

/// The bank of one runner with no other runner on it: air in a closed one stands still and has no
/// say in a steady flow, but its noise could keep the iteration from its end.
geometry::Intake with_one_runner(const geometry::Intake& intake, int open) {
    for (const auto& bank : intake.banks) {
        const auto count = static_cast<int>(bank.runners.size());
        if (open < count) {
            geometry::Bank only = bank;
            only.runners = {bank.runners[static_cast<std::size_t>(open)]};
            if (!bank.cylinders.empty()) {
                only.cylinders = {bank.cylinders[static_cast<std::size_t>(open)]};
            }
            return {{only}};
        }
        open -= count;
    }
    return intake;
}

/// The port of a runner alone, from the flange of the head on.
geometry::Runner port_of(const geometry::Runner& runner) {
    geometry::Runner port = runner;
    const double flange = runner.length - runner.port_length;
    std::vector<double> x = {0.0};
    std::vector<double> bore = {runner.diameter.at(flange)};
    for (std::size_t i = 0; i < runner.diameter.x().size(); ++i) {
        const double at = runner.diameter.x()[i] - flange;
        if (at > 1e-9 && at < runner.port_length) {
            x.push_back(at);
            bore.push_back(runner.diameter.value()[i]);
        }
    }
    x.push_back(runner.port_length);
    bore.push_back(runner.diameter.at(runner.length));
    port.diameter = geometry::Profile::stations(x, bore);
    port.length = runner.port_length;
    // Bends of runner and port are one number: the port has its part of the length.
    port.bend_loss = runner.bend_loss * runner.port_length / runner.length;
    if (runner.port_wall_temperature) {
        port.wall_temperature = runner.port_wall_temperature;
    }
    return port;
}

/// What stands on the bench with the head of one runner.
geometry::Intake head_of(const geometry::Intake& intake, const BenchParts& parts) {
    geometry::Intake alone = with_one_runner(intake, parts.open_runner);
    if (parts.head == BenchHead::intake) {
        return alone;
    }
    geometry::Bank& bank = alone.banks.front();
    bank.throttles.clear();
    bank.pre_chamber.reset();
    bank.slot.reset();
    bank.plenum.reset();
    if (parts.head == BenchHead::port) {
        bank.runners.front() = port_of(bank.runners.front());
    }
    return alone;
}

/// A rig whose slot blows into the room from a pre-chamber behind throttles: the walls where these
/// stand are fed, so that the slot is not taken for an insert alone.
geometry::Intake with_feed_walls_open(geometry::Intake intake) {
    for (auto& bank : intake.banks) {
        if (bank.plenum || !bank.pre_chamber) {
            continue;
        }
        for (const auto& throttle : bank.throttles) {
            bank.pre_chamber->open_start |= throttle.position == geometry::FeedPosition::start;
            bank.pre_chamber->open_end |= throttle.position == geometry::FeedPosition::end;
        }
    }
    return intake;
}

/// Steady state of a network and what it gives. `state` is the start, close by or not, and becomes
/// the steady state.
BenchResult run(const Network& network, std::vector<double>& state, bool near) {
    BenchResult result;
    const SteadyOutcome outcome = find_steady_state(network, state, near);
    result.converged = outcome.converged;
    result.failure = outcome.failure;
    result.iterations = outcome.iterations;
    result.residual = outcome.residual;
    if (!outcome.converged) {
        return result;
    }
    RightHandSide rhs(network);
    std::vector<double> rate(state.size());
    Snapshot snapshot;
    rhs.begin_step(0, 0.0, 1.0);
    rhs.observe(state, rate, 0.0, snapshot);
    fill_flows(network, state, snapshot, result);
    for (double& p : result.static_pressure) {
        p -= network.source.pressure;
    }
    return result;
}

/// Raises the pressure everywhere, velocity and density as they are.
void raise(const Network& n, std::vector<double>& state, double pressure) {
    const Layout& at = n.layout;
    for (int i = 0; i < at.cells; ++i) {
        state[static_cast<std::size_t>(at.rho_e() + i)] += pressure / (n.gas.gamma - 1.0);
    }
}

/// Weights with which the results at the similar ratios give that at ratio x (parabola through
/// them).
std::array<double, 3> parabola_weights(double x) {
    std::array<double, 3> weight = {1.0, 1.0, 1.0};
    for (std::size_t i = 0; i < weight.size(); ++i) {
        for (std::size_t j = 0; j < weight.size(); ++j) {
            if (i != j) {
                weight[i] *= (x - similar_ratios[j]) / (similar_ratios[i] - similar_ratios[j]);
            }
        }
    }
    return weight;
}

void add(std::vector<double>& sum, const std::vector<double>& values, double weight) {
    sum.resize(values.size(), 0.0);
    for (std::size_t i = 0; i < values.size(); ++i) {
        sum[i] += weight * values[i];
    }
}

void add(BenchResult& sum, const BenchResult& part, double weight) {
    sum.flow += weight * part.flow;
    sum.outlet_flow += weight * part.outlet_flow;
    add(sum.flow_per_runner, part.flow_per_runner, weight);
    add(sum.flow_per_length, part.flow_per_length, weight);
    add(sum.hole_flow, part.hole_flow, weight);
    add(sum.static_pressure, part.static_pressure, weight);
    sum.x = part.x;
    sum.pressure_x = part.pressure_x;
    sum.reference_area = part.reference_area;
}

/// A bench of low depression. Its own Mach numbers are so small that the waves' numerical
/// dissipation would outweigh the flow's heads; benches of equal density and depression but slower
/// sound have larger ones, and what compressibility they have goes out by a parabola through three
/// of them.
/// @source Chorin A. J. 1967, J. Comput. Phys. 2, 12-26 (artificial compressibility).
BenchResult run_similar(const Network& real, double depression) {
    Network network = real;
    const auto weight =
        parabola_weights(depression / std::max(real.source.pressure, real.room.pressure));
    std::vector<double> state;
    BenchResult sum;
    for (std::size_t i = 0; i < weight.size(); ++i) {
        const double before = network.source.pressure;
        slow_sound(network, depression, similar_ratios[i]);
        if (i == 0) {
            state = initial_state(network);
        } else {
            raise(network, state, network.source.pressure - before);
        }
        const BenchResult part = run(network, state, i > 0);
        sum.iterations += part.iterations;
        sum.residual = std::max(sum.residual, part.residual);
        sum.converged = part.converged;
        sum.failure = part.failure;
        if (!part.converged) {
            break;
        }
        add(sum, part, weight[i]);
    }
    return sum;
}

}  // namespace

BenchResult solve_bench(const geometry::Intake& intake,
                        const BenchSettings& bench,
                        const Model& model,
                        const BenchParts& parts) {
    const bool head = parts.set_up == BenchSetUp::valve;
    const bool one = parts.set_up == BenchSetUp::runners && parts.open_runner >= 0;
    const Network network =
        head  ? build_bench(head_of(intake, parts), bench, model, parts)
        : one ? build_bench(with_one_runner(intake, parts.open_runner), bench, model, {})
              : build_bench(with_feed_walls_open(intake), bench, model, parts);
    const double ratio = bench.depression / bench.pressure;
    BenchResult result;
    if (ratio < similar_ratios.front() && !network.chains.empty()) {
        result = run_similar(network, bench.depression);
    } else {
        std::vector<double> state = initial_state(network);
        result = run(network, state, false);
    }
    if (bench.direction == BenchDirection::in) {
        turn_flows(result);
    }
    result.name = parts.set_up == BenchSetUp::slot  ? "slot"
                  : parts.set_up == BenchSetUp::all ? "all open"
                                                    : "runners";
    if (parts.open_runner >= 0) {
        const auto open = static_cast<std::size_t>(parts.open_runner);
        result.name =
            (head ? "valve " : "runner ") + std::to_string(runner_numbers(intake).at(open));
    }
    result.feed = feed_of(intake, network);
    result.depression = bench.depression;
    result.density = bench.pressure / network.source.rt;
    if (!result.converged) {
        return result;
    }
    for (double& p : result.static_pressure) {
        p += network.source.pressure;
    }
    if (!result.flow_per_runner.empty()) {
        result.runners = runner_numbers(intake);
    }
    if (one || head) {
        const double flow = result.flow_per_runner.front();
        result.flow_per_runner.assign(result.runners.size(), 0.0);
        result.flow_per_runner[static_cast<std::size_t>(parts.open_runner)] = flow;
    }
    note_idle_slot(result);
    if (result.outlet_flow != 0.0) {
        return result;  // what a coefficient would refer to is not one area
    }
    const double ideal = result.reference_area * bench.pressure / std::sqrt(network.source.rt) *
                         laws::psi_exact(1.0 - ratio, network.gas.gamma);
    result.cd = ideal > 0.0 ? result.flow / ideal : 0.0;
    return result;
}

}  // namespace plenair
