#include "solver/march/steady.hpp"

#include "solver/arithmetic/linear.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/sparse_differences.hpp"
#include "solver/network/right_hand_side.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr double target = 1e-11;
constexpr int max_iterations = 400;
// Scaled rate of change below which a step that gains little is shortened: from there on the kinks
// of upwinding and limiters in air at rest hold Newton's method up, not the distance.
constexpr double near_steady = 1e-5;
// The same from farther away, after so many steps that brought no new least rate although they were
// long.
constexpr int patience = 6;
constexpr double long_step = 0.01;
constexpr double slow_fall = 0.7;
constexpr int halvings = 5;
// So many steps without a new least rate: it lies on a kink that is not the steady state. The flow
// is then followed in time for a while, in steps of fifty fastest rates and growing by a quarter.
constexpr int stuck = 25;
constexpr int marching_steps = 25;
constexpr double marching_rate = 0.02;
constexpr double marching_growth = 0.8;
constexpr double near_rate = 1e-3;  // first pseudo step of a state close by, in fastest rates
constexpr int long_run =
    40;  // iterations after which the pattern of the Jacobian is looked at again
constexpr double smallest_move = 1e-7, largest_move = 1e-3;  // of a scaled unknown

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

/// How long the pseudo time steps are, from how the rate of change falls.
class PseudoTimeStep final {
public:
    PseudoTimeStep(double fastest, double norm, bool near)
        : inverse_dt(fastest * (near ? near_rate : 0.5)),
          fastest_(fastest),
          first_(std::max(norm, 1e-300)),
          best_(norm) {}

    double inverse_dt;

    [[nodiscard]] double fastest() const { return fastest_; }
    [[nodiscard]] bool marching() const { return marching_ > 0; }
    [[nodiscard]] bool may_shorten(double norm, double next) const {
        return next > slow_fall * norm && (norm < near_steady * fastest_ ||
                                           (idle_ > patience && inverse_dt < long_step * fastest_));
    }
    /// Which of two widths of secants is tried: every other time that it was stuck.
    [[nodiscard]] bool wide() const { return times_stuck_ % 2 == 1; }
    [[nodiscard]] bool lost(double next) const {
        return !std::isfinite(next) || next > 50.0 * best_;
    }
    void accept(double norm, double next);

private:
    double fastest_, first_, best_;
    int idle_ = 0;
    int marching_ = 0;
    int times_stuck_ = 0;
};

void PseudoTimeStep::accept(double norm, double next) {
    if (marching_ > 0) {
        --marching_;
        inverse_dt *= marching_growth;
    } else {
        inverse_dt *= std::clamp(next / norm, 0.05, 2.0);
        if (next < norm) {
            inverse_dt = std::min(inverse_dt, fastest_ * std::max(next / first_, 1e-12));
        }
    }
    idle_ = next < 0.9 * best_ ? 0 : idle_ + 1;
    best_ = std::min(best_, next);
    if (idle_ > stuck) {
        ++times_stuck_;
        marching_ = marching_steps;
        inverse_dt = marching_rate * fastest_;
        idle_ = 0;
    }
}

/// Newton iteration with growing pseudo time step on the scaled unknowns.
class Continuation final {
public:
    Continuation(const Network& network, std::vector<double>& state)
        : n_(network),
          rhs_(network),
          state_(state),
          index_(unknowns(network)),
          differences_(static_cast<Eigen::Index>(index_.size())) {
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

    SteadyOutcome run(bool near);

private:
    double evaluate(Eigen::VectorXd& f);
    void evaluate_beside(const std::vector<double>& base,
                         const Eigen::VectorXd& move,
                         Eigen::VectorXd& f);
    const Eigen::SparseMatrix<double>& jacobian(const Eigen::VectorXd& f);
    bool step(const Eigen::VectorXd& f, double inverse_dt);
    double shorten(const std::vector<double>& before, double next, bool wide, Eigen::VectorXd& f);

    const Network& n_;
    RightHandSide rhs_;
    std::vector<double>& state_;
    std::vector<int> index_;
    std::vector<double> scale_, rate_;
    SparseDifferences differences_;  ///< a cell feels its neighbours alone
    Eigen::VectorXd last_;  ///< scaled change of the last step
    bool shortened_ = false;
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

/// f where the unknowns stand at `base` with `move` of each [scaled].
void Continuation::evaluate_beside(const std::vector<double>& base,
                                   const Eigen::VectorXd& move,
                                   Eigen::VectorXd& f) {
    for (std::size_t i = 0; i < index_.size(); ++i) {
        const auto k = static_cast<std::size_t>(index_[i]);
        state_[k] = base[k] + move[static_cast<Eigen::Index>(i)] * scale_[i];
    }
    evaluate(f);
}

/// Tangents; after a step that was too long secants as wide as it was: a kink within reach counts
/// with both its sides, so that the iteration does not jump to and fro across it. Tangents again as
/// steps shrink.
const Eigen::SparseMatrix<double>& Continuation::jacobian(const Eigen::VectorXd& f) {
    const std::vector<double> base = state_;
    const auto beside = [&](const Eigen::VectorXd& move, Eigen::VectorXd& moved) {
        evaluate_beside(base, move, moved);
    };
    const auto& found =
        shortened_ ? differences_.central(
                         beside, last_.cwiseAbs().cwiseMax(smallest_move).cwiseMin(largest_move))
                   : differences_.forward(beside, f, smallest_move);
    state_ = base;
    return found;
}

bool Continuation::step(const Eigen::VectorXd& f, double inverse_dt) {
    Eigen::SparseMatrix<double> matrix = -jacobian(f);
    matrix.diagonal().array() += inverse_dt;
    const auto change = arithmetic::solve(matrix, f);
    if (!change) {
        return false;
    }
    const double largest = change->cwiseAbs().maxCoeff();
    const double factor = largest > 0.2 ? 0.2 / largest : 1.0;
    for (std::size_t i = 0; i < index_.size(); ++i) {
        state_[static_cast<std::size_t>(index_[i])] +=
            factor * scale_[i] * (*change)[static_cast<Eigen::Index>(i)];
    }
    last_ = factor * *change;
    return true;
}

/// Goes back along the last step by halves to where the rate of change is least. @returns it
/// `wide`: the next secants are as wide as the step was before.
double Continuation::shorten(const std::vector<double>& before,
                             double next,
                             bool wide,
                             Eigen::VectorXd& f) {
    const std::vector<double> full = state_;
    const auto go = [&](double factor) {
        for (const int i : index_) {
            const auto k = static_cast<std::size_t>(i);
            state_[k] = before[k] + factor * (full[k] - before[k]);
        }
        return evaluate(f);
    };
    double best = 1.0;
    double factor = 1.0;
    for (int half = 0; half < halvings; ++half) {
        factor *= 0.5;
        const double norm = go(factor);
        if (norm < next) {
            next = norm;
            best = factor;
        }
    }
    shortened_ = best < 1.0;
    if (!wide) {
        last_ *= best;
    }
    return go(best);
}

SteadyOutcome Continuation::run(bool near) {
    SteadyOutcome out;
    Eigen::VectorXd f(static_cast<Eigen::Index>(index_.size()));
    double norm = evaluate(f);
    PseudoTimeStep pseudo_step(fastest_rate(n_, state_), norm, near);
    for (out.iterations = 1; out.iterations <= max_iterations; ++out.iterations) {
        if (out.iterations % long_run == 0) {
            differences_.check_pattern();
        }
        const std::vector<double> before = state_;
        if (!step(f, pseudo_step.inverse_dt)) {
            out.failure = "the linear system of the steady state is singular";
            return out;
        }
        double next = evaluate(f);
        if (pseudo_step.marching()) {
            shortened_ = false;
        } else if (pseudo_step.may_shorten(norm, next)) {
            next = shorten(before, next, pseudo_step.wide(), f);
        }
        if (pseudo_step.lost(next)) {
            state_ = before;
            norm = evaluate(f);
            pseudo_step.inverse_dt *= 8.0;
            continue;
        }
        pseudo_step.accept(norm, next);
        norm = next;
        // The rate of change in units of the fastest wave: below the target nothing moves within
        // rounding.
        out.residual = norm / pseudo_step.fastest();
        if (out.residual < target) {
            out.converged = true;
            return out;
        }
    }
    // Rounding of the limiter's kinks can stop the fall a little above the target; that is still
    // steady.
    out.converged = out.residual < 1e-9;
    if (!out.converged) {
        out.failure = "no steady state after " + std::to_string(max_iterations) +
                      " iterations; try another bench.depression or model.cells";
    }
    return out;
}

}  // namespace

SteadyOutcome find_steady_state(const Network& network, std::vector<double>& state, bool near) {
    return Continuation(network, state).run(near);
}

}  // namespace plenair
