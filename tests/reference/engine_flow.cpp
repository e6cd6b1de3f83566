#include "tests/reference/engine_flow.hpp"

#include "tests/reference/gases.hpp"
#include "tests/reference/pipe.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numeric>

namespace plenair::reference {

namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double cycle_angle = 4 * pi;
constexpr double ramp = pi / 9;  // of the cam outside its events

double turned(double angle) {
    const double a = std::fmod(angle, cycle_angle);
    return a < 0 ? a + cycle_angle : a;
}

double straight(const std::vector<double>& x, const std::vector<double>& y, double at) {
    if (at <= x.front()) {
        return y.front();
    }
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (at <= x[i]) {
            return y[i - 1] + (y[i] - y[i - 1]) * (at - x[i - 1]) / (x[i] - x[i - 1]);
        }
    }
    return y.back();
}

double circle(double area) {
    return std::sqrt(4 * area / pi);
}

/// Share of each cell of a row in a stretch of it.
struct Stretch {
    int first = 0;
    std::vector<double> weight;
    double area = 0;
};

Stretch stretch_of(const Pipe& pipe, double from, double to) {
    Stretch s;
    from = std::max(from, 0.0);
    to = std::min(to, pipe.dx() * pipe.cells());
    double sum = 0;
    for (int i = 0; i < pipe.cells(); ++i) {
        const double overlap = std::min(to, (i + 1) * pipe.dx()) - std::max(from, i * pipe.dx());
        if (overlap > 1e-12) {
            if (s.weight.empty()) {
                s.first = i;
            }
            s.weight.push_back(overlap);
            sum += overlap;
        }
    }
    for (std::size_t j = 0; j < s.weight.size(); ++j) {
        s.weight[j] /= sum;
        s.area += s.weight[j] * pipe.mean_area(s.first + static_cast<int>(j));
    }
    return s;
}

/// Gas beside an opening.
struct AdjacentGas {
    double p = 0, p0 = 0, rho = 0, u = 0, h0 = 0, y = 0;
};

/// Passage with an air column: slot piece or side throttle; no first pipe: the source.
struct Column {
    Pipe* from = nullptr;
    Pipe* to = nullptr;
    Stretch from_place, to_place;
    double area = 0, cd = 1, inertance = 0;
    double flow = 0;
};

struct Cylinder {
    double mass = 0, energy = 0, fresh = 0, exhaust = 0, motored = 0;
};

Cylinder operator+(const Cylinder& a, const Cylinder& b) {
    return {a.mass + b.mass,
            a.energy + b.energy,
            a.fresh + b.fresh,
            a.exhaust + b.exhaust,
            a.motored + b.motored};
}
Cylinder operator*(double f, const Cylinder& a) {
    return {f * a.mass, f * a.energy, f * a.fresh, f * a.exhaust, f * a.motored};
}

class Solver final {
public:
    Solver(const EngineSpec& spec, const ReferenceOptions& options);
    ReferenceResult run();

private:
    struct CylinderState {
        double p = 0, t = 0, r = 0, y = 0, h = 0, volume = 0;
    };

    // Gas of the cylinder.
    [[nodiscard]] double gas_constant(double y) const {
        return y * fresh_.gas_constant() + (1 - y) * burned_.gas_constant();
    }
    /// On the datum of the ducts: all gases have cp T of the charge at the source's temperature.
    [[nodiscard]] double enthalpy(double t, double y) const {
        return y * (fresh_.enthalpy(t) + fresh_offset_) +
               (1 - y) * (burned_.enthalpy(t) + burned_offset_);
    }
    [[nodiscard]] double temperature(double u, double y, double guess) const;
    [[nodiscard]] double volume(double angle) const;
    [[nodiscard]] double volume_rate(double angle) const;  // per angle
    [[nodiscard]] CylinderState state(const Cylinder& c, double angle, double guess) const;
    [[nodiscard]] Cylinder rate(const Cylinder& c,
                                const CylinderState& s,
                                double angle,
                                const std::array<double, 3>& valve) const;
    [[nodiscard]] double burn_rate(double angle) const;

    void build();
    void start();
    void step(double dt);
    void throttle_ends();
    void mouth(std::size_t i);
    void columns(double dt);
    [[nodiscard]] AdjacentGas adjacent_gas(const Pipe& pipe, const Stretch& s) const;
    void exchange(Pipe& pipe, const Stretch& s, double mass, double h0, double y) const;
    [[nodiscard]] double angle_of(std::size_t cylinder, double time) const {
        return turned(spec_.speed * time - spec_.firing_tdc[cylinder]);
    }
    [[nodiscard]] double mass() const;

    const EngineSpec& spec_;
    ReferenceOptions options_;
    MixedGas fresh_, burned_;
    Gas gas_, exhaust_gas_;
    double r_ = 287, dry_ = 1, fresh_offset_ = 0, burned_offset_ = 0, exhaust_delay_ = 0;
    Reservoir source_;
    std::unique_ptr<Pipe> chamber_, plenum_;
    std::vector<std::unique_ptr<Pipe>> runners_;
    std::vector<Stretch> mouths_;
    std::vector<double> mouth_area_;
    std::vector<Column> columns_;
    std::vector<Cylinder> cylinders_;
    std::vector<double> last_temperature_;
    std::vector<std::array<double, 3>> valve_;  // mass, energy, fresh into each cylinder
    double time_ = 0, trapped_angle_ = 0;
    double passed_in_ = 0, passed_out_ = 0;
    ReferenceResult result_;
};

Solver::Solver(const EngineSpec& spec, const ReferenceOptions& options)
    : spec_(spec), options_(options) {
    fresh_ = air_gas(spec.humidity);
    burned_ = products_of(fresh_, spec.hydrogen_carbon, spec.oxygen_carbon);
    r_ = fresh_.gas_constant();
    gas_.gamma = fresh_.gamma(spec.temperature);
    exhaust_gas_.gamma = burned_.gamma(spec.exhaust_temperature);
    dry_ = 1 / (1 + spec.humidity);
    const double cp_t = r_ * spec.temperature / gas_.k();
    fresh_offset_ = cp_t - fresh_.enthalpy(spec.temperature);
    burned_offset_ = cp_t - burned_.enthalpy(spec.temperature);
    exhaust_delay_ = spec.exhaust_port / std::sqrt(exhaust_gas_.gamma * burned_.gas_constant() *
                                                   spec.exhaust_temperature);
    source_ = reservoir(gas_, spec.pressure, r_ * spec.temperature);
    trapped_angle_ = std::max(spec.intake.closes + ramp,
                              cycle_angle + std::min(spec.motored ? 0 : spec.burn_start, 0.0));
    build();
    start();
}

void Solver::build() {
    const auto pipe = [&](const Section& s, double cell) {
        return std::make_unique<Pipe>(
            gas_, s.length, std::max(8, static_cast<int>(std::lround(s.length / cell))), s.area);
    };
    plenum_ = pipe(spec_.plenum, options_.chamber_cell);
    if (spec_.has_chamber) {
        chamber_ = pipe(spec_.chamber, options_.chamber_cell);
    }
    const auto rub = [&](Pipe& p) {
        if (spec_.darcy > 0) {
            p.darcy = [f = spec_.darcy](int, const Primitive&) { return f; };
        }
    };
    rub(*plenum_);
    if (chamber_) {
        rub(*chamber_);
    }
    for (const RunnerSpec& r : spec_.runners) {
        const auto area = [&r](double x) { return 0.25 * pi * r.bore(x) * r.bore(x); };
        runners_.push_back(pipe({r.length, area}, options_.runner_cell));
        rub(*runners_.back());
        runners_.back()->loss_per_length = r.bend_loss / r.length;
        const double d = r.bore(0);
        mouths_.push_back(stretch_of(*plenum_, r.x - 0.5 * d, r.x + 0.5 * d));
        mouth_area_.push_back(area(0));
    }
    Pipe* chamber = chamber_ ? chamber_.get() : plenum_.get();
    for (const ThrottleSpec& t : spec_.throttles) {
        if (t.place == ThrottleSpec::Place::side) {
            Column c;
            c.to = chamber;
            const double half = 0.5 * std::max(t.bore, 2 * chamber->dx());
            c.to_place = stretch_of(*chamber, t.x - half, t.x + half);
            c.area = t.effective;
            c.inertance = 0.85 * circle(t.effective) / t.effective;
            columns_.push_back(c);
        }
    }
    if (chamber_) {
        // Chamber and plenum have the same cells: one column a cell.
        const SlotSpec& slot = spec_.slot;
        for (int i = 0; i < plenum_->cells(); ++i) {
            const double from = std::max(slot.x, i * plenum_->dx());
            const double to = std::min(slot.x + slot.length, (i + 1) * plenum_->dx());
            if (to - from < 1e-9) {
                continue;
            }
            Column c;
            c.from = chamber_.get();
            c.to = plenum_.get();
            c.from_place = stretch_of(*chamber_, from, to);
            c.to_place = stretch_of(*plenum_, from, to);
            const double w = slot.width(0.5 * (from + to));
            c.area = w * (to - from);
            c.cd = slot.cd;
            double length = slot.land;
            for (const double area : {c.from_place.area, c.to_place.area}) {
                length += w / pi * (1 + std::log(std::max(2 * circle(area) / (pi * w), 1.0)));
            }
            c.inertance = length / c.area;
            columns_.push_back(c);
        }
    }
}

void Solver::start() {
    const Primitive still_air{source_.p / source_.rt, 0, source_.p, 1};
    const auto fill = [&](Pipe& p) { p.fill([&](double) { return still_air; }); };
    fill(*plenum_);
    if (chamber_) {
        fill(*chamber_);
    }
    for (auto& r : runners_) {
        fill(*r);
    }
    const double swept = 0.25 * pi * spec_.bore * spec_.bore * spec_.stroke;
    for (std::size_t i = 0; i < spec_.firing_tdc.size(); ++i) {
        const double angle = angle_of(i, 0);
        const double v = volume(angle);
        const bool charge = angle > 2 * pi;
        const double y = charge ? 0.95 : 0;
        const double t0 = charge ? 1.1 * spec_.temperature : 1200;
        double mass = (charge ? source_.p : spec_.exhaust_pressure) * v / (gas_constant(y) * t0);
        double t = t0;
        if (angle > spec_.intake.closes || angle < spec_.exhaust.opens) {  // shut: a full charge
            mass = source_.p * 0.9 * swept / (gas_constant(y) * 1.1 * spec_.temperature);
            t = t0 * std::pow(swept / v, 0.3);
        }
        cylinders_.push_back({mass,
                              mass * (enthalpy(t, y) - gas_constant(y) * t),
                              mass * y,
                              0,
                              source_.p * std::pow(swept, 1.35)});
        last_temperature_.push_back(t);
    }
    valve_.assign(cylinders_.size(), {});
    result_.delivered.assign(cylinders_.size(), 0);
    result_.trapped.assign(cylinders_.size(), 0);
    result_.residual.assign(cylinders_.size(), 0);
}

double Solver::temperature(double u, double y, double guess) const {
    double t = guess;
    for (int i = 0; i < 12; ++i) {
        const double cv = y * fresh_.cp(t) + (1 - y) * burned_.cp(t) - gas_constant(y);
        const double change = (u - (enthalpy(t, y) - gas_constant(y) * t)) / cv;
        t = std::clamp(t + change, 100.0, 5000.0);
        if (std::abs(change) < 1e-9 * t) {
            break;
        }
    }
    return t;
}

double Solver::volume(double angle) const {
    const double swept = 0.25 * pi * spec_.bore * spec_.bore * spec_.stroke;
    const double crank = 0.5 * spec_.stroke;
    const double s = std::sin(angle);
    const double travel = crank + spec_.rod - crank * std::cos(angle) -
                          std::sqrt(spec_.rod * spec_.rod - crank * crank * s * s);
    return swept / (spec_.compression_ratio - 1) + 0.25 * pi * spec_.bore * spec_.bore * travel;
}

double Solver::volume_rate(double angle) const {
    const double crank = 0.5 * spec_.stroke;
    const double s = std::sin(angle);
    const double c = std::cos(angle);
    const double root = std::sqrt(spec_.rod * spec_.rod - crank * crank * s * s);
    return 0.25 * pi * spec_.bore * spec_.bore * (crank * s + crank * crank * s * c / root);
}

Solver::CylinderState Solver::state(const Cylinder& c, double angle, double guess) const {
    CylinderState s;
    s.volume = volume(angle);
    s.y = std::clamp(c.fresh / c.mass, 0.0, 1.0);
    s.r = gas_constant(s.y);
    s.t = temperature(c.energy / c.mass, s.y, guess);
    s.p = c.mass * s.r * s.t / s.volume;
    s.h = enthalpy(s.t, s.y);
    return s;
}

/// Rate of loss of ln(fresh) per angle: Wiebe's burned fraction as a hazard.
double Solver::burn_rate(double angle) const {
    const double y = turned(angle - spec_.burn_start) / spec_.burn_duration;
    if (spec_.motored || y >= 1) {
        return 0;
    }
    const double m = spec_.wiebe_m;
    const double left = std::exp(-spec_.wiebe_a * std::pow(y, m + 1));
    const double slope = spec_.wiebe_a * (m + 1) * std::pow(y, m) * left / spec_.burn_duration;
    return slope / (std::max(1.0, spec_.lambda) - (1 - left));
}

Cylinder Solver::rate(const Cylinder& c,
                      const CylinderState& s,
                      double angle,
                      const std::array<double, 3>& valve) const {
    const double area = spec_.exhaust.effective_area(angle);
    double wanted = 0;
    if (area > 0) {
        // The root is straightened below 0.2 % of the pressure.
        const bool out = s.p > spec_.exhaust_pressure;
        const double high = std::max(s.p, spec_.exhaust_pressure);
        const double low = std::min(s.p, spec_.exhaust_pressure);
        const double rt = out ? s.r * s.t : burned_.gas_constant() * spec_.exhaust_temperature;
        const double x = (high - low) / high;
        const double soft = std::sqrt(x) / std::pow(x * x + 0.002 * 0.002, 0.25);
        wanted = orifice(exhaust_gas_, area, high, rt, low) * soft * (out ? 1 : -1);
    }
    const double flow = exhaust_delay_ > 0 ? c.exhaust : wanted;
    const double h_out = flow > 0 ? s.h : enthalpy(spec_.exhaust_temperature, 0);
    const double y_out = flow > 0 ? s.y : 0;
    const double burned = std::max(c.fresh, 0.0) * burn_rate(angle) * spec_.speed;
    const double released = burned * dry_ * spec_.heating_value / spec_.stoich;
    double heat = 0;
    if (spec_.wall_heat) {
        const double piston_speed = spec_.stroke * spec_.speed / pi;
        const double swept = 0.25 * pi * spec_.bore * spec_.bore * spec_.stroke;
        const bool closed = angle > spec_.intake.closes || angle < spec_.exhaust.opens;
        const bool burning = !spec_.motored && turned(angle - spec_.burn_start) <
                                                   spec_.exhaust.opens - spec_.burn_start;
        const double motored = c.motored / std::pow(s.volume, 1.35);
        const double w =
            (closed ? 2.28 : 6.18) * piston_speed +
            (burning ? 3.24e-3 * swept / (c.mass * s.r) * std::max(s.p - motored, 0.0) : 0);
        const double film = 3.26 * std::pow(spec_.bore, -0.2) * std::pow(1e-3 * s.p, 0.8) *
                            std::pow(s.t, -0.55) * std::pow(w, 0.8);
        const double piston = 0.25 * pi * spec_.bore * spec_.bore;
        const double height = (s.volume - swept / (spec_.compression_ratio - 1)) / piston;
        heat = film * (2 * piston + pi * spec_.bore * height) * (s.t - spec_.wall_temperature);
    }
    Cylinder d;
    d.mass = valve[0] - flow;
    d.energy = valve[1] - flow * h_out + released - heat - s.p * volume_rate(angle) * spec_.speed;
    d.fresh = valve[2] - flow * y_out - burned;
    d.exhaust = exhaust_delay_ > 0 ? (wanted - c.exhaust) / exhaust_delay_ : 0;
    if (angle >= spec_.intake.opens && angle <= spec_.intake.closes) {
        d.motored = spec_.speed / 0.12 * (s.p * std::pow(s.volume, 1.35) - c.motored);
    }
    return d;
}

AdjacentGas Solver::adjacent_gas(const Pipe& pipe, const Stretch& s) const {
    AdjacentGas b;
    for (std::size_t j = 0; j < s.weight.size(); ++j) {
        const Primitive& w = pipe.middle(s.first + static_cast<int>(j));
        const double f = s.weight[j];
        b.p += f * w.p;
        b.p0 += f * (w.p + 0.5 * w.rho * w.u * w.u);
        b.rho += f * w.rho;
        b.u += f * w.u;
        b.h0 += f * (w.p / w.rho / gas_.k() + 0.5 * w.u * w.u);
        b.y += f * w.y;
    }
    return b;
}

/// Takes `mass` per time out of a stretch; what is negative enters with h0, y and no momentum.
void Solver::exchange(Pipe& pipe, const Stretch& s, double mass, double h0, double y) const {
    for (std::size_t j = 0; j < s.weight.size(); ++j) {
        const int i = s.first + static_cast<int>(j);
        const Primitive& w = pipe.middle(i);
        const double m = s.weight[j] * mass;
        if (m > 0) {
            pipe.add(i,
                     {-m,
                      -m * (2 - spec_.regain) * w.u,
                      -m * (w.p / w.rho / gas_.k() + 0.5 * w.u * w.u),
                      -m * w.y});
        } else {
            pipe.add(i, {-m, 0, -m * h0, -m * y});
        }
    }
}

void Solver::throttle_ends() {
    Pipe& chamber = chamber_ ? *chamber_ : *plenum_;
    for (const ThrottleSpec& t : spec_.throttles) {
        if (t.place != ThrottleSpec::Place::side) {
            const bool first = t.place == ThrottleSpec::Place::start;
            const Through c = opening(gas_, chamber.end(first), t.effective, source_);
            chamber.set_end(first, c, c.mass > 0 ? 1 : chamber.end_fresh(first));
            passed_in_ += c.mass;
        }
    }
}

void Solver::mouth(std::size_t i) {
    Pipe& runner = *runners_[i];
    const Duct f = runner.end(true);
    const AdjacentGas b = adjacent_gas(*plenum_, mouths_[i]);
    const double out = f.rho * f.v * mouth_area_[i] / (b.rho * mouths_[i].area);
    const double left = b.u + 0.5 * out;
    const double right = b.u - 0.5 * out;
    const double l = std::max(left, 0.0);
    const double r = std::max(-right, 0.0);
    const double square = l * l - l * r + r * r;
    const double mean = (left * left + left * right + right * right) / 3;
    const double p0 = b.p0 - 0.5 * (spec_.regain - 1) * b.rho * (square - mean) -
                      0.5 * b.rho * spec_.crossflow_loss * square;
    const Reservoir host{p0, b.h0 * gas_.k(), b.h0};
    const Through c = reference::mouth(gas_, f, host, spec_.runners[i].entry_loss, p0);
    const double y = c.mass > 0 ? b.y : runner.end_fresh(true);
    runner.set_end(true, c, y);
    exchange(*plenum_, mouths_[i], c.mass, c.h0, y);
}

void Solver::columns(double dt) {
    for (Column& c : columns_) {
        AdjacentGas from{source_.p, source_.p, source_.p / source_.rt, 0, source_.h, 1};
        if (c.from != nullptr) {
            from = adjacent_gas(*c.from, c.from_place);
        }
        const AdjacentGas to = adjacent_gas(*c.to, c.to_place);
        const double dp = from.p - to.p;
        const auto lost = [&](double m) {
            const double p = m < 0 ? to.p : from.p;
            const double rho = m < 0 ? to.rho : from.rho;
            const double x = std::clamp((m < 0 ? -dp : dp) / p, 0.0, 1.0);
            // psi^2/x, at x = 0 its limit 2
            const double psi = x < 1e-8 ? 0 : orifice(gas_, 1, 1, 1, 1 - x);
            const double factor = x < 1e-8 ? 2 : psi * psi / x;
            const double k = c.cd * c.area;
            return m * std::abs(m) / (k * k * rho * factor);
        };
        const double half = c.flow + 0.5 * dt * (dp - lost(c.flow)) / c.inertance;
        c.flow += dt * (dp - lost(half)) / c.inertance;
        if (c.from != nullptr) {
            exchange(*c.from, c.from_place, half, to.h0, to.y);
        } else {
            passed_in_ += half;
        }
        exchange(*c.to, c.to_place, -half, from.h0, from.y);
    }
}

double Solver::mass() const {
    double sum = plenum_->mass() + (chamber_ ? chamber_->mass() : 0);
    for (const auto& r : runners_) {
        sum += r->mass();
    }
    for (const Cylinder& c : cylinders_) {
        sum += c.mass;
    }
    return sum;
}

void Solver::step(double dt) {
    plenum_->predict(dt);
    if (chamber_) {
        chamber_->predict(dt);
    }
    for (auto& r : runners_) {
        r->predict(dt);
    }
    passed_in_ = 0;
    throttle_ends();
    columns(dt);
    std::vector<Cylinder> middle;
    std::vector<CylinderState> state_of;
    for (std::size_t i = 0; i < cylinders_.size(); ++i) {
        const double angle = angle_of(i, time_);
        const CylinderState s = state(cylinders_[i], angle, last_temperature_[i]);
        last_temperature_[i] = s.t;
        middle.push_back(cylinders_[i] + 0.5 * dt * rate(cylinders_[i], s, angle, valve_[i]));
        state_of.push_back(state(middle[i], angle_of(i, time_ + 0.5 * dt), s.t));
    }
    for (std::size_t r = 0; r < runners_.size(); ++r) {
        mouth(r);
        const auto i = static_cast<std::size_t>(spec_.runners[r].cylinder);
        const double area = spec_.intake.effective_area(angle_of(i, time_ + 0.5 * dt));
        valve_[i] = {};
        if (area > 0) {
            const CylinderState& s = state_of[i];
            const Through c = opening(gas_, runners_[r]->end(false), area, {s.p, s.r * s.t, s.h});
            const double y = c.mass > 0 ? s.y : runners_[r]->end_fresh(false);
            runners_[r]->set_end(false, c, y);
            valve_[i] = {-c.mass, -c.mass * c.h0, -c.mass * y};
        }
        result_.delivered[i] += dt * dry_ * valve_[i][2];
    }
    plenum_->finish(dt);
    if (chamber_) {
        chamber_->finish(dt);
    }
    for (auto& r : runners_) {
        r->finish(dt);
    }
    double out = 0;
    for (std::size_t i = 0; i < cylinders_.size(); ++i) {
        const double angle = angle_of(i, time_ + 0.5 * dt);
        const Cylinder d = rate(middle[i], state_of[i], angle, valve_[i]);
        out += valve_[i][0] - d.mass;
        const double before = cylinders_[i].fresh;
        const double before_mass = cylinders_[i].mass;
        cylinders_[i] = cylinders_[i] + dt * d;
        // The step that crosses the moment of trapping, straight between its ends.
        const double since = turned(trapped_angle_ - angle_of(i, time_));
        const double turn = spec_.speed * dt;
        if (since < turn) {
            const double f = since / turn;
            const double fresh = before + f * (cylinders_[i].fresh - before);
            const double mass_then = before_mass + f * (cylinders_[i].mass - before_mass);
            result_.trapped[i] = dry_ * fresh;
            result_.residual[i] = 1 - fresh / mass_then;
        }
    }
    passed_out_ += out * dt;
    time_ += dt;
}

ReferenceResult Solver::run() {
    const double period = cycle_angle / spec_.speed;
    for (int cycle = 1; cycle <= options_.most_cycles; ++cycle) {
        const auto before = result_.trapped;
        std::fill(result_.delivered.begin(), result_.delivered.end(), 0.0);
        const double mass_before = mass();
        double in = 0;
        passed_out_ = 0;
        time_ = 0;
        while (time_ < period * (1 - 1e-12)) {
            double wave = plenum_->wave_rate();
            if (chamber_) {
                wave = std::max(wave, chamber_->wave_rate());
            }
            for (const auto& r : runners_) {
                wave = std::max(wave, r->wave_rate());
            }
            const double dt =
                std::min({options_.courant / wave, period - time_, pi / 360 / spec_.speed});
            step(dt);
            in += passed_in_ * dt;
        }
        result_.cycles = cycle;
        result_.mass_error = (mass() - mass_before - in + passed_out_) / std::max(in, 1e-12);
        double change = 0;
        for (std::size_t i = 0; i < before.size(); ++i) {
            change = std::max(change, std::abs(result_.trapped[i] / before[i] - 1));
        }
        result_.repeats = cycle > 3 && change < options_.repeat;
        if (result_.repeats) {
            break;
        }
    }
    return result_;
}

}  // namespace

double PoppetValve::lift_at(double angle) const {
    const double duration = closes - opens;
    const double after = turned(angle - opens + ramp) - ramp;
    const double outside = after < 0 ? -after : after - duration;
    if (outside > 0) {  // 3-4-5 polynomial (Norton 2002)
        const double z = 1 - outside / ramp;
        return z <= 0 ? 0 : checking_lift * z * z * z * (10 - 15 * z + 6 * z * z);
    }
    // 4-5-6-7 polynomial over half the duration (Norton 2002).
    const double z = 1 - std::abs(2 * after / duration - 1);
    const double rise = z * z * z * z * (35 - 84 * z + 70 * z * z - 20 * z * z * z);
    return checking_lift + (lift - checking_lift) * rise;
}

// Heywood 1988, eq. 6.7 to 6.12 (from memory).
double PoppetValve::effective_area(double angle) const {
    const double l = lift_at(angle);
    if (l <= 0) {
        return 0;
    }
    const double s = std::sin(seat_angle);
    const double c = std::cos(seat_angle);
    const double port = 0.25 * pi * (throat * throat - stem * stem);
    double geometric = 0;
    if (l <= seat_width / (s * c)) {
        geometric = pi * l * c * (head - 2 * seat_width + l * s * c);
    } else {
        const double rise = l - seat_width * s / c;
        geometric = pi * (head - seat_width) * std::sqrt(rise * rise + seat_width * seat_width);
    }
    return count *
           std::min({straight(lift_over_diameter, cd, l / head) * pi * head * l, geometric, port});
}

double ReferenceResult::air() const {
    return std::accumulate(delivered.begin(), delivered.end(), 0.0);
}

std::vector<double> ReferenceResult::bias() const {
    const double mean =
        std::accumulate(trapped.begin(), trapped.end(), 0.0) / static_cast<double>(trapped.size());
    std::vector<double> b;
    for (const double t : trapped) {
        b.push_back(t / mean - 1);
    }
    return b;
}

ReferenceResult solve_reference(const EngineSpec& spec, const ReferenceOptions& options) {
    return Solver(spec, options).run();
}

}  // namespace plenair::reference
