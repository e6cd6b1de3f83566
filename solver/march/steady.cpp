#include "solver/march/steady.hpp"

#include "solver/march/cycle_map.hpp"
#include "solver/network/right_hand_side.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr double target = 1e-11;
constexpr int max_iterations = 400;

/// The unknowns of a steady state: cells without ghosts, jets, passages; composition is that of the
/// source.
std::vector<int> unknowns(const Network& n) {
    const Layout& at = n.layout;
    std::vector<int> index;
    for (const Chain& chain : n.chains) {
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            for (const int block : {at.rho(), at.rho_u(), at.rho_e()}) {
                index.push_back(block + i);
            }
            if (at.jets > 0 && chain.jet && i + 1 < chain.first + chain.count) {
                index.push_back(at.jet() + i);
            }
        }
    }
    for (int i = 0; i < at.passages; ++i) {
        index.push_back(at.passage_flow() + i);
    }
    return index;
}

/// Newton iteration with growing pseudo time step on the scaled unknowns.
class Continuation final {
public:
    Continuation(const Network& network, std::vector<double>& state)
        : n_(network), rhs_(network), state_(state), index_(unknowns(network)) {
        rate_.resize(state.size());
        double flow = 1e-9;
        for (const Passage& p : n_.passages) {
            flow = std::max(flow, p.area * n_.source.pressure / std::sqrt(n_.source.rt) * 0.05);
        }
        const auto all = state_scales(n_, flow);
        for (const int i : index_) {
            scale_.push_back(all[static_cast<std::size_t>(i)]);
        }
        rhs_.begin_step(0, 0.0, 1.0);
    }

    SteadyOutcome run();

private:
    double evaluate(Eigen::VectorXd& f);
    void differentiate(const Eigen::VectorXd& f);
    bool step(const Eigen::VectorXd& f, double inverse_dt);

    const Network& n_;
    RightHandSide rhs_;
    std::vector<double>& state_;
    std::vector<int> index_;
    std::vector<double> scale_, rate_;
    Eigen::MatrixXd jacobian_;
};

double Continuation::evaluate(Eigen::VectorXd& f) {
    rhs_(state_, rate_, 0.0);
    double sum = 0.0;
    for (std::size_t i = 0; i < index_.size(); ++i) {
        const double value = rate_[static_cast<std::size_t>(index_[i])] / scale_[i];
        f[static_cast<Eigen::Index>(i)] = value;
        sum += value * value;
    }
    return std::sqrt(sum / static_cast<double>(index_.size()));
}

void Continuation::differentiate(const Eigen::VectorXd& f) {
    const auto size = static_cast<Eigen::Index>(index_.size());
    jacobian_.resize(size, size);
    Eigen::VectorXd moved(size);
    for (Eigen::Index j = 0; j < size; ++j) {
        double& x = state_[static_cast<std::size_t>(index_[static_cast<std::size_t>(j)])];
        const double old = x;
        const double h = 1e-7 * scale_[static_cast<std::size_t>(j)];
        x = old + h;
        evaluate(moved);
        x = old;
        jacobian_.col(j) = (moved - f) / 1e-7;
    }
}

bool Continuation::step(const Eigen::VectorXd& f, double inverse_dt) {
    Eigen::MatrixXd matrix = -jacobian_;
    matrix.diagonal().array() += inverse_dt;
    const Eigen::VectorXd change = matrix.partialPivLu().solve(f);
    if (!change.allFinite()) {
        return false;
    }
    const double largest = change.cwiseAbs().maxCoeff();
    const double factor = largest > 0.2 ? 0.2 / largest : 1.0;
    for (std::size_t i = 0; i < index_.size(); ++i) {
        state_[static_cast<std::size_t>(index_[i])] +=
            factor * scale_[i] * change[static_cast<Eigen::Index>(i)];
    }
    return true;
}

SteadyOutcome Continuation::run() {
    SteadyOutcome out;
    Eigen::VectorXd f(static_cast<Eigen::Index>(index_.size()));
    double norm = evaluate(f);
    const double fastest = fastest_rate(n_, state_);
    // The rate of change in units of the fastest wave: below the target nothing moves within
    // rounding.
    double inverse_dt = fastest * 0.5;
    const double first = std::max(norm, 1e-300);
    double best = norm;
    for (out.iterations = 1; out.iterations <= max_iterations; ++out.iterations) {
        differentiate(f);
        const std::vector<double> before = state_;
        if (!step(f, inverse_dt)) {
            out.failure = "the linear system of the steady state is singular";
            return out;
        }
        const double next = evaluate(f);
        if (!std::isfinite(next) || next > 50.0 * best) {
            state_ = before;
            norm = evaluate(f);
            inverse_dt *= 8.0;
            continue;
        }
        inverse_dt *= std::clamp(next / norm, 0.05, 2.0);
        if (next < norm) {
            inverse_dt = std::min(inverse_dt, fastest * std::max(next / first, 1e-12));
        }
        norm = next;
        best = std::min(best, norm);
        out.residual = norm / fastest;
        if (out.residual < target) {
            out.converged = true;
            return out;
        }
    }
    // Rounding of the limiter's kinks can stop the fall a little above the target; that is still
    // steady.
    out.converged = out.residual < 1e-8;
    if (!out.converged) {
        out.failure = "no steady state after " + std::to_string(max_iterations) + " iterations";
    }
    return out;
}

}  // namespace

SteadyOutcome find_steady_state(const Network& network, std::vector<double>& state) {
    return Continuation(network, state).run();
}

namespace {

void fill_flows(const Network& n,
                const std::vector<double>& state,
                const Snapshot& seen,
                BenchResult& result) {
    const Layout& at = n.layout;
    double slot_area = 0.0;
    for (std::size_t i = 0; i < n.passages.size(); ++i) {
        const Passage& p = n.passages[i];
        if (!p.slot) {
            continue;
        }
        const double m = state[static_cast<std::size_t>(at.passage_flow()) + i];
        slot_area += p.area;
        if (p.upstream_static) {
            result.hole_flow.push_back(m);
        }
        result.x.push_back(p.x);
        result.flow_per_length.push_back(m / p.length);
    }
    double exits = 0.0;
    double exit_area = 0.0;
    bool header_done = false;
    for (std::size_t c = 0; c < n.chains.size(); ++c) {
        const Chain& chain = n.chains[c];
        if (chain.end == EndKind::exit) {
            result.flow_per_runner.push_back(chain.closed_exit ? 0.0 : seen.exit_flow[c]);
            exits += result.flow_per_runner.back();
            exit_area += chain.closed_exit
                             ? 0.0
                             : n.face_area[static_cast<std::size_t>(chain.first + chain.count)];
        } else if (!header_done) {
            for (int i = 0; i < chain.count; ++i) {
                result.pressure_x.push_back(chain.x0 + (i + 0.5) * chain.dx);
                result.static_pressure.push_back(
                    seen.pressure[static_cast<std::size_t>(chain.first + i)]);
            }
            header_done = true;
        }
    }
    double out = exits;
    if (result.flow_per_runner.empty()) {
        for (std::size_t i = 0; i < n.passages.size(); ++i) {
            out +=
                n.passages[i].slot ? state[static_cast<std::size_t>(at.passage_flow()) + i] : 0.0;
        }
    }
    result.flow = out;
    result.reference_area = result.flow_per_runner.empty() ? slot_area : exit_area;
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
        result.notes.push_back("near-end inflow: " + std::to_string(idle) + " of " +
                               std::to_string(result.x.size()) +
                               " slot cells pass no air outwards or draw it in, the last at x = " +
                               std::to_string(static_cast<int>(std::lround(last * 1e3))) + " mm");
    }
}

}  // namespace

BenchResult solve_bench(const geometry::Intake& intake,
                        const BenchSettings& bench,
                        const Model& model,
                        const BenchParts& parts) {
    const Network network = build_bench(intake, bench, model, parts);
    BenchResult result;
    result.name = parts.set_up == BenchSetUp::slot ? "slot"
                  : parts.set_up == BenchSetUp::all
                      ? "all open"
                      : "runner " + std::to_string(parts.open_runner + 1);
    result.depression = bench.depression;
    result.density = network.source.pressure / network.source.rt;
    std::vector<double> state = initial_state(network);
    const SteadyOutcome outcome = find_steady_state(network, state);
    result.converged = outcome.converged;
    result.failure = outcome.failure;
    result.iterations = outcome.iterations;
    result.residual = outcome.residual;
    if (!outcome.converged) {
        return result;
    }
    RightHandSide rhs(network);
    std::vector<double> rate(state.size());
    Snapshot seen;
    rhs.begin_step(0, 0.0, 1.0);
    rhs.observe(state, rate, 0.0, seen);
    fill_flows(network, state, seen, result);
    const double r = 1.0 - bench.depression / bench.pressure;
    const double ideal = result.reference_area * bench.pressure / std::sqrt(network.source.rt) *
                         laws::psi_exact(r, network.gas.gamma);
    result.cd = ideal > 0.0 ? result.flow / ideal : 0.0;
    note_idle_slot(result);
    return result;
}

}  // namespace plenair
