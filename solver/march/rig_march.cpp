#include "solver/march/rig_march.hpp"

#include "geometry/contract.hpp"
#include "solver/march/steady.hpp"
#include "solver/network/builder.hpp"

#include <boost/numeric/odeint/integrate/integrate_n_steps.hpp>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

// Steps between two looks at how fast waves are.
constexpr long chunk_steps = 16;

/// The bench with the throttle as narrow as it will be: what forms a jet at any time forms one
/// there.
BenchSettings narrowest(BenchSettings air, const RigDrive& drive) {
    if (drive.throttle_angle) {
        air.throttle_angle = drive.smallest_angle;
    }
    return air;
}

}  // namespace

RigMarch::RigMarch(const geometry::Intake& intake,
                   const BenchSettings& air,
                   const Model& model,
                   RigDrive drive)
    : intake_(intake),
      drive_(std::move(drive)),
      network_(build_bench(intake, narrowest(air, drive_), model, {BenchSetUp::all, -1})),
      rhs_(network_),
      first_order_rhs_(network_, true) {
    rhs_.begin_step(0, 0.0, 1.0);
    first_order_rhs_.begin_step(0, 0.0, 1.0);
    this->drive(0.0);
    state_ = initial_state(network_);
    rate_.resize(state_.size());
    began_ = stored(network_, state_);
    make_probes();
}

void RigMarch::fill(std::optional<double> pressure,
                    std::optional<double> temperature,
                    bool from_plenum_on) {
    const Layout& at = network_.layout;
    const auto entry = [&](int block, int i) -> double& {
        return state_[static_cast<std::size_t>(block + i)];
    };
    const double less_one = network_.gas.gamma - 1.0;
    for (const Chain& chain : network_.chains) {
        if (from_plenum_on && !chain.plenum && !chain.runner) {
            continue;
        }
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double p = pressure.value_or(entry(at.rho_e(), i) * less_one);
            const double rt = temperature ? network_.gas.gas_constant * *temperature
                                          : entry(at.rho_e(), i) * less_one / entry(at.rho(), i);
            entry(at.rho(), i) = p / rt;
            entry(at.rho_e(), i) = p / less_one;
            entry(at.rho_y(), i) = p / rt * network_.source.fresh;
        }
    }
    began_ = stored(network_, state_);
}

std::string RigMarch::settle() {
    const SteadyOutcome outcome = find_steady_state(network_, state_);
    began_ = stored(network_, state_);
    return outcome.converged ? "" : outcome.failure;
}

void RigMarch::drive(double time) {
    if (!drive_.source_pressure && !drive_.room_pressure && !drive_.throttle_angle) {
        return;
    }
    if (drive_.source_pressure) {
        network_.source.pressure = drive_.source_pressure(time);
    }
    if (drive_.room_pressure) {
        network_.room.pressure = drive_.room_pressure(time);
    }
    for (Passage& p : network_.passages) {
        p.from_room.pressure = network_.source.pressure;
        p.to_room.pressure = network_.room.pressure;
    }
    if (drive_.throttle_angle) {
        angle_ = drive_.throttle_angle(time);
        set_throttles(network_, intake_, angle_);
    }
    rhs_.read_network();
    first_order_rhs_.read_network();
}

bool RigMarch::try_to(double time, double factor, RightHandSide& rhs) {
    const auto system = [&](const std::vector<double>& x, std::vector<double>& rate, double t) {
        drive(t);
        rhs(x, rate, 0.0);
    };
    while (time_ < time) {
        const double left = time - time_;
        const auto count =
            std::max(std::lround(std::ceil(left * factor * fastest_rate(network_, state_))), 1L);
        const long now = std::min(count, chunk_steps);
        const double length = left / static_cast<double>(count);
        boost::numeric::odeint::integrate_n_steps(
            std::ref(stepper_), system, state_, time_, length, now);
        steps_ += now;
        time_ = now == count ? time : time_ + static_cast<double>(now) * length;
        if (!physical(network_, state_)) {
            return false;
        }
    }
    return true;
}

bool RigMarch::march_to(double time) {
    PLENAIR_EXPECT(time >= time_);
    const std::vector<double> before = state_;
    const double from = time_;
    const long steps = steps_;
    // Then faces that keep to their cells at strong jumps, in steps that suit them, or shorter
    // ones.
    if (try_to(time, 1.0, rhs_)) {
        return true;
    }
    for (const double factor : {2.0, 8.0}) {
        state_ = before;
        time_ = from;
        steps_ = steps;
        if (try_to(time, factor, first_order_rhs_)) {
            return true;
        }
    }
    failure_ = "the flow left physical states between " + std::to_string(from * 1e3) + " and " +
               std::to_string(time * 1e3) + " ms; try model.cells = \"fine\" or a slower change";
    state_ = before;
    time_ = from;
    return false;
}

double RigMarch::total(Layout::Total which) const {
    return state_[static_cast<std::size_t>(network_.layout.total(which))];
}

double RigMarch::mass_balance() const {
    const double in = total(Layout::source_mass);
    const double out = total(Layout::exit_mass);
    const double held = stored(network_, state_).mass;
    const double scale = std::max({began_.mass, held, std::abs(in), std::abs(out), 1e-300});
    return std::abs(in - out - (held - began_.mass)) / scale;
}

double RigMarch::energy_balance() const {
    const double in = total(Layout::source_energy) + total(Layout::wall_heat);
    const double out = total(Layout::exit_energy);
    const double held = stored(network_, state_).energy;
    const double scale = std::max({began_.energy, held, std::abs(in), std::abs(out), 1e-300});
    return std::abs(in - out - (held - began_.energy)) / scale;
}

void RigMarch::observe() {
    drive(time_);
    rhs_.observe(state_, rate_, 0.0, snapshot_);
    flows_ = rig_flows(network_, state_, snapshot_);
}

void RigMarch::probe_chain(const Chain& chain) {
    const auto pressure = [this](int i) { return snapshot_.pressure[static_cast<std::size_t>(i)]; };
    const auto mean = [this, &chain](const auto& of_cell) {
        double sum = 0.0, volume = 0.0;
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double v = network_.volume[static_cast<std::size_t>(i)];
            sum += v * of_cell(i);
            volume += v;
        }
        return sum / volume;
    };
    const auto mean_pressure = [mean, pressure] { return mean(pressure); };
    probes_.push_back({chain.name + " pressure", SeriesKind::pressure, mean_pressure});
    if (chain.runner) {
        return;
    }
    const int first = chain.first, last = chain.first + chain.count - 1;
    probes_.push_back({chain.name + " pressure at x = 0", SeriesKind::pressure, [pressure, first] {
                           return pressure(first);
                       }});
    probes_.push_back({chain.name + " pressure at the far end",
                       SeriesKind::pressure,
                       [pressure, last] { return pressure(last); }});
    const auto density = [this](int i) {
        return state_[static_cast<std::size_t>(network_.layout.rho() + i)];
    };
    probes_.push_back({chain.name + " temperature",
                       SeriesKind::temperature,
                       [this, mean_pressure, mean, density] {
                           return mean_pressure() / (mean(density) * network_.gas.gas_constant);
                       }});
}

void RigMarch::probe_flows() {
    const auto flow = [this](const std::string& name, std::function<double()> value) {
        probes_.push_back({name + " flow", SeriesKind::flow, std::move(value)});
    };
    flow("source", [this] { return snapshot_.source_flow; });
    if (std::any_of(network_.passages.begin(), network_.passages.end(), [](const Passage& p) {
            return p.slot;
        })) {
        flow("slot", [this] { return flows_.through_slot(); });
    }
    std::size_t runners = 0;
    bool outlet = false;
    for (const Chain& chain : network_.chains) {
        if (chain.runner) {
            flow(chain.name, [this, runners] { return flows_.runner[runners]; });
            ++runners;
        } else {
            outlet |= chain.start == EndKind::exit || chain.end == EndKind::exit;
        }
    }
    if (outlet) {
        flow("outlet", [this] { return flows_.outlet; });
    }
}

void RigMarch::make_probes() {
    if (drive_.source_pressure) {
        probes_.push_back(
            {"source pressure", SeriesKind::pressure, [this] { return network_.source.pressure; }});
    }
    if (drive_.room_pressure) {
        probes_.push_back(
            {"room pressure", SeriesKind::pressure, [this] { return network_.room.pressure; }});
    }
    if (drive_.throttle_angle) {
        probes_.push_back({"throttle angle", SeriesKind::angle, [this] { return angle_; }});
    }
    for (const Chain& chain : network_.chains) {
        probe_chain(chain);
    }
    probe_flows();
    probes_.push_back(
        {"mass inside", SeriesKind::mass, [this] { return stored(network_, state_).mass; }});
}

std::vector<Series> RigMarch::series() const {
    std::vector<Series> series;
    for (const Probe& probe : probes_) {
        series.push_back({probe.name, probe.kind, {}});
    }
    return series;
}

void RigMarch::append(std::vector<Series>& series) {
    observe();
    PLENAIR_EXPECT(series.size() == probes_.size());
    for (std::size_t i = 0; i < probes_.size(); ++i) {
        series[i].value.push_back(probes_[i].value());
    }
}

}  // namespace plenair
