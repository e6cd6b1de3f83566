#include "tests/support/tube.hpp"

#include "solver/gas/transport.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/cell_loops.hpp"

#include <boost/math/quadrature/gauss.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace plenair::test {

namespace {

constexpr int ghost_cells = 2;

double integral(const std::function<double(double)>& f, double from, double to) {
    return boost::math::quadrature::gauss<double, 7>::integrate(f, from, to);
}

}  // namespace

Tube::Tube(double gamma, double gas_constant, double pressure, double temperature) {
    network.gas.gamma = gamma;
    network.gas.gas_constant = gas_constant;
    network.gas.viscosity = gas::viscosity(temperature);
    network.source = {pressure, gas_constant * temperature, 1.0};
    network.room = network.source;
    network.banks.emplace_back();
    network.orifice = laws::OrificeFunction(gamma);
    network.duct = laws::DuctFlow(gamma);
    network.model.regain = 1.0;
    network.model.crossflow_loss = 0.0;
    network.model.jet = false;
}

int Tube::add(const Pipe& pipe) {
    Network& n = network;
    Chain chain;
    chain.name = "pipe " + std::to_string(n.chains.size() + 1);
    chain.first = static_cast<int>(n.volume.size()) + ghost_cells;
    chain.count = pipe.cells;
    chain.dx = pipe.length / pipe.cells;
    chain.start = pipe.start;
    chain.end = pipe.end;
    chain.start_effective_area = pipe.effective_area;
    chain.exit_loss = pipe.exit_loss;
    chain.has_friction = chain.friction_factor = pipe.darcy > 0.0 || pipe.smooth;
    chain.darcy = pipe.darcy;
    if (pipe.smooth) {
        n.frictions.emplace_back(0.0);
        chain.friction = static_cast<int>(n.frictions.size()) - 1;
    }
    const auto push = [&](double volume, double area, double face) {
        n.volume.push_back(volume);
        n.inverse_volume.push_back(volume > 0.0 ? 1.0 / volume : 0.0);
        n.area.push_back(area);
        n.inverse_diameter.push_back(1.0 / std::sqrt(4.0 * area / std::numbers::pi));
        n.wall_rt.push_back(0.0);
        n.bend.push_back(0.0);
        n.face_area.push_back(face);
    };
    const auto pad = [&](double x) {
        for (int g = 0; g < ghost_cells; ++g) {
            push(0.0, pipe.area(x), pipe.area(x));
        }
    };
    pad(0.0);
    for (int i = 0; i < pipe.cells; ++i) {
        const double volume = integral(pipe.area, i * chain.dx, (i + 1) * chain.dx);
        push(volume, volume / chain.dx, pipe.area(i * chain.dx));
    }
    pad(pipe.length);
    n.chains.push_back(chain);
    areas_.push_back(pipe.area);
    return static_cast<int>(n.chains.size()) - 1;
}

Footprint Tube::footprint(const Stretch& s) const {
    Footprint f;
    if (s.pipe < 0) {
        return f;
    }
    const Chain& chain = network.chains[static_cast<std::size_t>(s.pipe)];
    const int first = static_cast<int>(s.from / chain.dx + 1e-6);
    const int last = std::min(static_cast<int>(s.to / chain.dx - 1e-6), chain.count - 1);
    f.first = chain.first + first;
    for (int i = first; i <= last; ++i) {
        const double overlap = std::min(s.to, (i + 1) * chain.dx) - std::max(s.from, i * chain.dx);
        f.weight.push_back(overlap / (s.to - s.from));
        f.area += f.weight.back() * network.area[static_cast<std::size_t>(chain.first + i)];
    }
    return f;
}

void Tube::add_mouth(int pipe, const Stretch& host, double entry_loss) {
    Chain& chain = network.chains[static_cast<std::size_t>(pipe)];
    chain.start = EndKind::mouth;
    Mouth mouth;
    mouth.chain = pipe;
    mouth.plenum = footprint(host);
    mouth.entry_loss = entry_loss;
    mouth.area = network.face_area[static_cast<std::size_t>(chain.first)];
    mouth.area_ratio = mouth.area / mouth.plenum.area;
    network.mouths.push_back(mouth);
}

int Tube::add_passage(
    const Stretch& from, const Stretch& to, double area, double cd, double length) {
    Passage p;
    p.from = footprint(from);
    p.to = footprint(to);
    p.from_room = from.room;
    p.to_room = to.room;
    p.area = area;
    p.inertance = length / area;
    p.hydraulic_diameter = std::sqrt(4.0 * area / std::numbers::pi);
    network.discharges.push_back(laws::SlotDischarge::measured(cd, false));
    p.discharge = p.discharge_reverse = static_cast<int>(network.discharges.size()) - 1;
    network.passages.push_back(p);
    return static_cast<int>(network.passages.size()) - 1;
}

void Tube::finish() {
    Network& n = network;
    n.face_area.push_back(n.face_area.empty() ? 0.0 : n.face_area.back());
    n.layout.cells = static_cast<int>(n.volume.size());
    // Room for a whole pack at the last cell, as the builder leaves it.
    for (auto* v : {&n.volume, &n.inverse_diameter, &n.bend, &n.wall_rt}) {
        v->resize(v->size() + static_cast<std::size_t>(widest_pack),
                  v == &n.inverse_diameter ? 1.0 : 0.0);
    }
    n.layout.passages = static_cast<int>(n.passages.size());
    state = initial_state(n);
}

std::size_t Tube::index(int block, int pipe, int cell) const {
    return static_cast<std::size_t>(block + network.chains[static_cast<std::size_t>(pipe)].first +
                                    cell);
}

void Tube::fill(int pipe, const std::function<Gas(double)>& gas) {
    const Chain& chain = network.chains[static_cast<std::size_t>(pipe)];
    const Layout& at = network.layout;
    const double k = 1.0 / (network.gas.gamma - 1.0);
    for (int i = 0; i < chain.count; ++i) {
        const double from = i * chain.dx;
        const auto mean = [&](const std::function<double(const Gas&)>& value) {
            const auto& area = areas_[static_cast<std::size_t>(pipe)];
            return integral(
                       [&](double x) { return value(gas(x)) * area(x); }, from, from + chain.dx) /
                   network.volume[index(0, pipe, i)];
        };
        state[index(at.rho(), pipe, i)] = mean([](const Gas& g) { return g.rho; });
        state[index(at.rho_u(), pipe, i)] = mean([](const Gas& g) { return g.rho * g.u; });
        state[index(at.rho_e(), pipe, i)] =
            mean([k](const Gas& g) { return k * g.p + 0.5 * g.rho * g.u * g.u; });
        state[index(at.rho_y(), pipe, i)] = state[index(at.rho(), pipe, i)];
    }
}

void Tube::step(RightHandSide& rhs, RungeKutta4& stepper, double h) {
    rhs.begin_step(0, time, h);
    stepper.do_step(
        [&](const State& x, State& dxdt, double t) {
            rhs(x, dxdt, t);
            if (forcing) {
                forcing(t, x, dxdt);
            }
        },
        state,
        time,
        h);
    time += h;
}

void Tube::march(double until, const Watch& watch) {
    RightHandSide rhs(network);
    RungeKutta4 stepper;
    while (time < until * (1.0 - 1e-12)) {
        if (watch) {
            watch(time);
            rhs.read_network();  // which the watch may have changed
        }
        const double rate = fastest_rate(network, state);
        if (!std::isfinite(rate)) {
            throw std::runtime_error("the march has left physical states");
        }
        step(rhs, stepper, std::min(1.0 / rate, until - time));
    }
}

void Tube::march_equal(double until, int steps, const Watch& watch) {
    RightHandSide rhs(network);
    RungeKutta4 stepper;
    const double start = time;
    for (int k = 0; k < steps; ++k) {
        if (watch) {
            watch(time);
            rhs.read_network();  // which the watch may have changed
        }
        step(rhs, stepper, (until - start) / steps);
    }
    time = until;
}

double Tube::density(int pipe, int cell) const {
    return state[index(network.layout.rho(), pipe, cell)];
}

double Tube::velocity(int pipe, int cell) const {
    return state[index(network.layout.rho_u(), pipe, cell)] / density(pipe, cell);
}

double Tube::pressure(int pipe, int cell) const {
    const double u = velocity(pipe, cell);
    return (network.gas.gamma - 1.0) *
           (state[index(network.layout.rho_e(), pipe, cell)] - 0.5 * density(pipe, cell) * u * u);
}

double Tube::centre(int pipe, int cell) const {
    return (cell + 0.5) * network.chains[static_cast<std::size_t>(pipe)].dx;
}

std::vector<double> Tube::pressures(int pipe) const {
    std::vector<double> p;
    for (int i = 0; i < network.chains[static_cast<std::size_t>(pipe)].count; ++i) {
        p.push_back(pressure(pipe, i));
    }
    return p;
}

double Tube::mass(int pipe) const {
    double sum = 0.0;
    for (int i = 0; i < network.chains[static_cast<std::size_t>(pipe)].count; ++i) {
        sum += density(pipe, i) * network.volume[index(0, pipe, i)];
    }
    return sum;
}

void Crossings::sample(double time, double value) {
    if (any_ && last_value_ < 0.0 && value >= 0.0) {
        times_.push_back(last_time_ + (time - last_time_) * last_value_ / (last_value_ - value));
    }
    last_time_ = time;
    last_value_ = value;
    any_ = true;
}

double Crossings::frequency() const {
    if (times_.size() < 2) {
        throw std::runtime_error("too few crossings for a frequency");
    }
    return static_cast<double>(times_.size() - 1) / (times_.back() - times_.front());
}

}  // namespace plenair::test
