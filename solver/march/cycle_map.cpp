#include "solver/march/cycle_map.hpp"

#include "geometry/contract.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/laws/woschni.hpp"
#include "solver/network/builder.hpp"

#include <boost/numeric/odeint/iterator/n_step_time_iterator.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace plenair {

namespace {

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

struct Unphysical {
    int cell = -1, cylinder = -1;
};

/// Where a density, a pressure or the content of a cylinder is not positive and finite.
Unphysical first_unphysical(const Network& n, const std::vector<double>& state) {
    const Layout& at = n.layout;
    for (const Chain& chain : n.chains) {
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double rho = state[index(at.rho() + i)];
            const double u = state[index(at.rho_u() + i)];
            const double e = state[index(at.rho_e() + i)];
            // Written so that a NaN fails too.
            if (!(rho > 0.0 && e - 0.5 * u * u / rho > 0.0 && rho < 1e4)) {
                return {i, -1};
            }
        }
    }
    for (int c = 0; c < at.cylinders; ++c) {
        if (!(state[index(at.cylinder_mass() + c)] > 0.0) ||
            !std::isfinite(state[index(at.cylinder_energy() + c)])) {
            return {-1, c};
        }
    }
    return {};
}

/// A step of the crank table as a stepper of Boost.Odeint, whose time is the number of the step:
/// the steps differ in length, and differences of start times would give them back to rounding
/// only.
class CrankStepper final {
public:
    using state_type = RungeKutta4::state_type;
    using deriv_type = RungeKutta4::deriv_type;
    using value_type = RungeKutta4::value_type;
    using time_type = int;
    using order_type = RungeKutta4::order_type;
    using stepper_category = RungeKutta4::stepper_category;

    static order_type order() { return RungeKutta4::order(); }

    /// `time`: when the first step begins [s]; `snapshot` as in RightHandSide::begin_step.
    CrankStepper(const CrankTable& crank, RungeKutta4& stepper, Snapshot* snapshot, double time)
        : crank_(crank), stepper_(stepper), snapshot_(snapshot), start_(time), end_(time) {}

    void do_step(RightHandSide& rhs, state_type& state, time_type step, time_type /*one*/) {
        const double length = crank_.step[index(step)];
        start_ = end_;
        rhs.begin_step(step, start_, length, snapshot_);
        stepper_.do_step(rhs, state, start_, length);
        end_ = start_ + length;
    }

    /// When the last step began and ended [s].
    [[nodiscard]] double start() const { return start_; }
    [[nodiscard]] double end() const { return end_; }

private:
    const CrankTable& crank_;
    RungeKutta4& stepper_;
    Snapshot* snapshot_;
    double start_, end_;
};

/// The state and the number of the next step, from step `first` on to the end of the one before
/// `last`.
auto steps_of(
    CrankStepper& stepper, RightHandSide& rhs, std::vector<double>& state, int first, int last) {
    return boost::numeric::odeint::make_n_step_time_range(
        std::ref(stepper), std::ref(rhs), state, first, 1, index(last - first));
}

}  // namespace

bool physical(const Network& n, const std::vector<double>& state) {
    PLENAIR_EXPECT(state.size() == index(n.layout.size()));
    const Unphysical where = first_unphysical(n, state);
    return where.cell < 0 && where.cylinder < 0;
}

CycleMap::CycleMap(const Network& network, bool first_order_at_jumps)
    : n_(network), rhs_(network, first_order_at_jumps) {
    rhs_.hold_wall_laws();
    trapped.assign(static_cast<std::size_t>(n_.layout.cylinders), 0.0);
    trapped_mass = trapped;
}

void CycleMap::note_trapped(int step,
                            const std::vector<double>& state,
                            const std::vector<int>& steps) {
    for (std::size_t c = 0; c < steps.size(); ++c) {
        if (steps[c] == step) {
            const auto i = static_cast<std::size_t>(c);
            trapped[i] = state[static_cast<std::size_t>(n_.layout.cylinder_fresh()) + i];
            trapped_mass[i] = state[static_cast<std::size_t>(n_.layout.cylinder_mass()) + i];
        }
    }
}

void CycleMap::note_fastest(const std::vector<double>& state) {
    const Layout& at = n_.layout;
    lost.mach = 0.0;
    for (const Chain& chain : n_.chains) {
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double rho = state[index(at.rho() + i)];
            const double u = state[index(at.rho_u() + i)] / rho;
            const double e = state[index(at.rho_e() + i)] / rho - 0.5 * u * u;
            const double mach = std::abs(u) / std::sqrt(n_.gas.gamma * (n_.gas.gamma - 1.0) * e);
            if (mach > lost.mach) {
                lost.mach = mach;
                lost.fastest_cell = i;
            }
        }
    }
}

/// Marches again from the last physical state, step by step, to where it is lost.
void CycleMap::find_loss(std::vector<double> state, int step, double time) {
    lost = {};
    const int last = std::min(static_cast<int>(n_.crank.step.size()), step + look_every + 1);
    CrankStepper stepper(n_.crank, stepper_, nullptr, time);
    const auto [first, end] = steps_of(stepper, rhs_, state, step, last);
    for (auto at = first; at != end; ++at) {
        if (at->second > step) {
            lost.time = stepper.end();
            const Unphysical where = first_unphysical(n_, state);
            if (where.cell >= 0 || where.cylinder >= 0) {
                // Where nothing is a number any more, the fault lies where it was fastest before.
                const bool contaminated =
                    where.cell >= 0 && std::isnan(state[index(n_.layout.rho() + where.cell)]);
                lost.cell = contaminated && lost.fastest_cell >= 0 ? lost.fastest_cell : where.cell;
                lost.cylinder = where.cylinder;
                return;
            }
        }
        if (at->second < last) {
            note_fastest(state);
        }
    }
}

/// Keeps the state after a step; false where it is not physical.
bool CycleMap::check(const std::vector<double>& state, int step, double time) {
    if (!physical(n_, state)) {
        return false;
    }
    largest_rate = std::max(largest_rate, fastest_rate(n_, state));
    physical_ = state;
    physical_step_ = step;
    physical_time_ = time;
    return true;
}

bool CycleMap::march(std::vector<double>& state,
                     const std::vector<int>& trapped_steps,
                     Snapshot* snapshot,
                     const Watch& watch,
                     PassiveTransport* carried) {
    PLENAIR_EXPECT(state.size() == index(n_.layout.size()));
    PLENAIR_EXPECT(trapped_steps.empty() || trapped_steps.size() == index(n_.layout.cylinders));
    std::fill(state.begin() + n_.layout.periodic_size(), state.end(), 0.0);
    largest_rate = 0.0;
    physical_ = state;
    physical_step_ = 0;
    physical_time_ = 0.0;
    const int steps = static_cast<int>(n_.crank.step.size());
    CrankStepper stepper(n_.crank, stepper_, snapshot, 0.0);
    const auto [first, end] = steps_of(stepper, rhs_, state, 0, steps);
    for (auto at = first; at != end; ++at) {  // before each step, and after the last
        const int k = at->second;
        if (watch && k > 0) {
            watch(k - 1, stepper.start());
        }
        // A state that is lost stays lost.
        if (k > 0 && ((k - 1) % look_every == 0 || k == steps) && !check(state, k, stepper.end())) {
            find_loss(std::move(physical_), physical_step_, physical_time_);
            return false;
        }
        note_trapped(k, state, trapped_steps);
        if (carried != nullptr && k < steps && k % 2 == 0) {
            const double next = k + 1 < steps ? n_.crank.step[index(k) + 1] : 0.0;
            carried->carry(state, n_.crank.step[index(k)] + next);
        }
    }
    return true;
}

std::vector<double> state_scales(const Network& n, double air_flow) {
    const Layout& at = n.layout;
    std::vector<double> scale(static_cast<std::size_t>(at.periodic_size()), 1.0);
    const auto fill = [&](int from, int to, double value) {
        std::fill(scale.begin() + from, scale.begin() + to, value);
    };
    const double rho = n.source.pressure / n.source.rt;
    const double a = std::sqrt(n.gas.gamma * n.source.rt);
    const double charge = rho * std::max(n.cylinder.displacement, 1e-6);
    fill(at.rho(), at.rho_u(), rho);
    fill(at.rho_u(), at.rho_e(), rho * a);
    fill(at.rho_e(), at.rho_y(), n.source.pressure / (n.gas.gamma - 1.0));
    fill(at.rho_y(), at.jet(), rho);
    for (const Chain& chain : n.chains) {
        if (chain.jet) {
            fill(at.jet() + chain.first,
                 at.jet() + chain.first + chain.count,
                 n.source.pressure * n.face_area[static_cast<std::size_t>(chain.first)]);
        }
    }
    fill(at.passage_flow(), at.cylinder_mass(), std::max(air_flow, 1e-9));
    fill(at.cylinder_mass(), at.cylinder_energy(), charge);
    fill(at.cylinder_energy(), at.cylinder_fresh(), charge * 3.0e6);
    fill(at.cylinder_fresh(), at.cylinder_motored(), charge);
    fill(at.exhaust_flow(), at.periodic_size(), std::max(air_flow, 1e-9));
    fill(at.cylinder_motored(),
         at.exhaust_flow(),
         n.source.pressure *
             arithmetic::pow(std::max(n.cylinder.displacement, 1e-9), laws::motored_exponent));
    return scale;
}

Stored stored(const Network& n, const std::vector<double>& s) {
    PLENAIR_EXPECT(s.size() == index(n.layout.size()));
    const Layout& at = n.layout;
    Stored sum;
    for (int i = 0; i < at.cells; ++i) {
        const double v = n.volume[static_cast<std::size_t>(i)];
        sum.mass += v * s[static_cast<std::size_t>(at.rho() + i)];
        sum.energy += v * s[static_cast<std::size_t>(at.rho_e() + i)];
        sum.fresh += v * s[static_cast<std::size_t>(at.rho_y() + i)];
    }
    sum.ducts = sum.mass;
    for (int c = 0; c < at.cylinders; ++c) {
        sum.mass += s[static_cast<std::size_t>(at.cylinder_mass() + c)];
        sum.energy += s[static_cast<std::size_t>(at.cylinder_energy() + c)];
        sum.fresh += s[static_cast<std::size_t>(at.cylinder_fresh() + c)];
    }
    return sum;
}

}  // namespace plenair
