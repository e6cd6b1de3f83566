#include "cases/study/least_squares.hpp"

#include "solver/arithmetic/linear.hpp"

#include <unsupported/Eigen/NonLinearOptimization>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// The problem as Eigen's minimiser wants it: free entries only, weighted, the prior below.
class Functor final {
public:
    using Scalar = double;
    // NOLINTNEXTLINE(readability-identifier-naming): Eigen asks for these names
    enum { InputsAtCompileTime = Eigen::Dynamic, ValuesAtCompileTime = Eigen::Dynamic };
    using InputType = VectorXd;
    using ValueType = VectorXd;
    using JacobianType = MatrixXd;

    Functor(const LeastSquares& problem, Index readings)
        : problem_(problem), readings_(readings), x_(problem.start) {
        weights_ = VectorXd::Ones(readings);
    }

    [[nodiscard]] Index inputs() const { return static_cast<Index>(free_.size()); }
    [[nodiscard]] Index values() const {
        return std::max(readings_ + problem_.start.size(), inputs());
    }

    /// Which entries may move; the others stay where `x` has them.
    void release(const VectorXd& x, std::vector<Index> free) {
        x_ = x;
        free_ = std::move(free);
    }
    void weigh(const VectorXd& weights) { weights_ = weights; }

    [[nodiscard]] VectorXd full(const VectorXd& part) const {
        VectorXd x = x_;
        for (std::size_t i = 0; i < free_.size(); ++i) {
            x[free_[i]] = part[static_cast<Index>(i)];
        }
        return x;
    }
    [[nodiscard]] VectorXd part(const VectorXd& x) const {
        VectorXd values(inputs());
        for (std::size_t i = 0; i < free_.size(); ++i) {
            values[static_cast<Index>(i)] = x[free_[i]];
        }
        return values;
    }

    /// Where the bounds hold `x`.
    [[nodiscard]] VectorXd inside(const VectorXd& x) const {
        return x.cwiseMax(problem_.lower).cwiseMin(problem_.upper);
    }

    [[nodiscard]] VectorXd raw(const VectorXd& x) {
        ++evaluations;
        if (last_x_.size() == x.size() && last_x_ == x) {
            return last_;
        }
        last_x_ = x;
        last_ = problem_.residuals(x);
        return last_;
    }

    int operator()(const VectorXd& trial, VectorXd& out) {
        const VectorXd wanted = full(trial);
        const VectorXd x = inside(wanted);
        const VectorXd r = raw(x);
        if (!r.allFinite()) {
            return -1;
        }
        out.setZero(values());
        out.head(readings_) = weights_.cwiseSqrt().cwiseProduct(r);
        for (Index i = 0; i < x.size(); ++i) {
            // Beyond a bound the prediction stays and the sum rises, so that a trial comes back.
            const double beyond = (wanted[i] - x[i]) / problem_.step[i];
            const double off = std::isfinite(problem_.prior_deviation[i])
                                   ? (x[i] - problem_.prior[i]) / problem_.prior_deviation[i]
                                   : 0.0;
            out[readings_ + i] = beyond == 0.0 ? off : off + std::copysign(beyond, off + beyond);
        }
        return 0;
    }

    /// Derivatives of the bare residuals for the named entries: central, one-sided at a bound;
    /// those made before where all of x is near.
    [[nodiscard]] MatrixXd derivatives(const VectorXd& x, const std::vector<Index>& entries) {
        if (made_at_.size() != x.size() ||
            ((x - made_at_).cwiseAbs() - problem_.near * problem_.step).maxCoeff() > 0) {
            made_at_ = x;
            made_.resize(readings_, x.size());
            is_made_.assign(static_cast<std::size_t>(x.size()), false);
        }
        std::vector<Index> missing;
        for (const Index i : entries) {
            if (!is_made_[static_cast<std::size_t>(i)]) {
                missing.push_back(i);
                is_made_[static_cast<std::size_t>(i)] = true;
            }
        }
        if (!missing.empty()) {
            const MatrixXd fresh = differences(made_at_, missing);
            for (std::size_t k = 0; k < missing.size(); ++k) {
                made_.col(missing[k]) = fresh.col(static_cast<Index>(k));
            }
        }
        MatrixXd jacobian(readings_, static_cast<Index>(entries.size()));
        for (std::size_t k = 0; k < entries.size(); ++k) {
            jacobian.col(static_cast<Index>(k)) = made_.col(entries[k]);
        }
        return jacobian;
    }

    [[nodiscard]] MatrixXd differences(const VectorXd& x, const std::vector<Index>& entries) {
        const auto count = static_cast<Index>(entries.size());
        MatrixXd trials(x.size(), 2 * count);
        for (Index k = 0; k < count; ++k) {
            const Index i = entries[static_cast<std::size_t>(k)];
            trials.col(2 * k) = trials.col(2 * k + 1) = x;
            trials(i, 2 * k) = std::max(x[i] - problem_.step[i], problem_.lower[i]);
            trials(i, 2 * k + 1) = std::min(x[i] + problem_.step[i], problem_.upper[i]);
        }
        const MatrixXd values = problem_.residuals(trials);
        evaluations += static_cast<int>(2 * count);
        MatrixXd jacobian(readings_, count);
        for (Index k = 0; k < count; ++k) {
            const Index i = entries[static_cast<std::size_t>(k)];
            jacobian.col(k) = (values.col(2 * k + 1) - values.col(2 * k)) /
                              (trials(i, 2 * k + 1) - trials(i, 2 * k));
        }
        return jacobian;
    }

    int df(const VectorXd& trial, MatrixXd& out) {
        const MatrixXd j = derivatives(inside(full(trial)), free_);
        if (!j.allFinite()) {
            return -1;
        }
        out.setZero(values(), inputs());
        out.topRows(readings_) = weights_.cwiseSqrt().asDiagonal() * j;
        for (std::size_t k = 0; k < free_.size(); ++k) {
            const Index i = free_[k];
            if (std::isfinite(problem_.prior_deviation[i])) {
                out(readings_ + i, static_cast<Index>(k)) = 1.0 / problem_.prior_deviation[i];
            }
        }
        return 0;
    }

    int evaluations = 0;

private:
    const LeastSquares& problem_;
    Index readings_;
    VectorXd x_, weights_, last_x_, last_;
    VectorXd made_at_;  // where the derivatives in made_ were made
    MatrixXd made_;
    std::vector<bool> is_made_;  // of each column of made_
    std::vector<Index> free_;
};

std::vector<Index> all_of(Index count) {
    std::vector<Index> list;
    for (Index i = 0; i < count; ++i) {
        list.push_back(i);
    }
    return list;
}

/// Weights of the squared residuals, each of which may be `widened` times its deviation.
VectorXd huber(const VectorXd& residuals, double limit, const VectorXd& widened) {
    VectorXd weights = widened.cwiseAbs2().cwiseInverse();
    for (Index i = 0; i < residuals.size(); ++i) {
        if (const double r = std::abs(residuals[i]) / widened[i]; r > limit) {
            weights[i] *= limit / r;
        }
    }
    return weights;
}

/// One run of the minimiser from x with the free entries; false where it broke down.
bool minimise(Functor& functor, const LeastSquares& problem, VectorXd& x) {
    Eigen::LevenbergMarquardt<Functor> lm(functor);
    lm.parameters.maxfev = problem.max_evaluations;
    lm.parameters.ftol = problem.tolerance;
    lm.parameters.xtol = problem.tolerance;
    lm.parameters.gtol = 0.0;
    VectorXd trial = functor.part(x);
    const auto status = lm.minimize(trial);
    x = functor.inside(functor.full(trial));
    return status != Eigen::LevenbergMarquardtSpace::UserAsked &&
           status != Eigen::LevenbergMarquardtSpace::ImproperInputParameters &&
           status != Eigen::LevenbergMarquardtSpace::TooManyFunctionEvaluation;
}

/// Runs with entries held at bounds until none wants to cross or come back.
bool minimise_bounded(Functor& functor,
                      const LeastSquares& problem,
                      VectorXd& x,
                      std::vector<bool>& held) {
    bool good = true;
    for (int round = 0; round < 6; ++round) {
        std::vector<Index> free;
        for (Index i = 0; i < x.size(); ++i) {
            if (!held[static_cast<std::size_t>(i)]) {
                free.push_back(i);
            }
        }
        if (free.empty()) {
            return good;
        }
        functor.release(x, free);
        good = minimise(functor, problem, x);
        bool changed = false;
        for (const Index i : free) {
            const double near = 1e-9 * (problem.upper[i] - problem.lower[i]);
            const bool low = std::isfinite(problem.lower[i]) && x[i] <= problem.lower[i] + near;
            const bool high = std::isfinite(problem.upper[i]) && x[i] >= problem.upper[i] - near;
            if (low || high) {
                x[i] = low ? problem.lower[i] : problem.upper[i];
                held[static_cast<std::size_t>(i)] = true;
                changed = true;
            }
        }
        if (!changed) {
            return good;
        }
    }
    return good;
}

}  // namespace

MatrixXd posterior(const MatrixXd& jacobian,
                   const VectorXd& weights,
                   const VectorXd& prior_deviation,
                   const std::vector<bool>& held) {
    const Index n = jacobian.cols();
    MatrixXd normal = jacobian.transpose() * weights.asDiagonal() * jacobian;
    for (Index i = 0; i < n; ++i) {
        if (std::isfinite(prior_deviation[i])) {
            normal(i, i) += 1.0 / (prior_deviation[i] * prior_deviation[i]);
        }
    }
    // Scaled to ones on the diagonal: entries of very different size lose no digits.
    VectorXd scale(n);
    for (Index i = 0; i < n; ++i) {
        const bool fixed = !held.empty() && held[static_cast<std::size_t>(i)];
        scale[i] = fixed || normal(i, i) <= 0.0 ? 0.0 : 1.0 / std::sqrt(normal(i, i));
    }
    MatrixXd scaled = scale.asDiagonal() * normal * scale.asDiagonal();
    for (Index i = 0; i < n; ++i) {
        if (scale[i] == 0.0) {
            scaled(i, i) = 1.0;
        }
    }
    constexpr double least_eigenvalue = 1e-13;
    const auto eigen = arithmetic::symmetric_eigenpairs(scaled);
    const VectorXd inverse = eigen.values.cwiseMax(least_eigenvalue).cwiseInverse();
    return scale.asDiagonal() * eigen.vectors * inverse.asDiagonal() * eigen.vectors.transpose() *
           scale.asDiagonal();
}

LeastSquaresResult solve_least_squares(const LeastSquares& problem) {
    LeastSquaresResult result;
    const Index n = problem.start.size();
    VectorXd x = problem.start.cwiseMax(problem.lower).cwiseMin(problem.upper);
    result.start_residuals = problem.residuals(x);
    const Index m = result.start_residuals.size();
    result.at_bound.assign(static_cast<std::size_t>(n), false);
    result.x = x;
    if (!result.start_residuals.allFinite()) {
        result.failure = "the start cannot be computed";
        return result;
    }
    const VectorXd widened = problem.widened.size() == 0 ? VectorXd::Ones(m) : problem.widened;
    Functor functor(problem, m);
    result.weights = huber(VectorXd::Zero(m), problem.robust, widened);
    functor.weigh(result.weights);
    bool good = false;
    for (int round = 0; round < 4; ++round) {
        std::fill(result.at_bound.begin(), result.at_bound.end(), false);
        good = minimise_bounded(functor, problem, x, result.at_bound);
        result.residuals = functor.raw(x);
        const VectorXd weights = huber(result.residuals, problem.robust, widened);
        const double change = m == 0 ? 0.0 : (weights - result.weights).cwiseAbs().maxCoeff();
        if (change < 0.02) {
            break;
        }
        result.weights = weights;
        functor.weigh(weights);
    }
    result.x = x;
    result.jacobian = functor.derivatives(x, all_of(n));
    result.sum = result.residuals.squaredNorm();
    result.evaluations = functor.evaluations;
    result.converged = good && result.jacobian.allFinite();
    if (!result.converged) {
        result.failure = "the minimiser did not come to rest";
    }
    result.covariance =
        posterior(result.jacobian, result.weights, problem.prior_deviation, result.at_bound);
    return result;
}

}  // namespace plenair
