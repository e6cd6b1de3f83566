#include "cases/study/fit_faults.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Before any reading: how often an engine has one (common practice): injector 6 %, sensor 3 %,
/// runner 2 %, leak 1 %, one wrong reading 2 %; shared among the cylinders.
double prior_of(FaultKind kind) {
    switch (kind) {
        case FaultKind::injector:
            return 0.06;
        case FaultKind::sensor:
            return 0.03;
        case FaultKind::runner:
            return 0.02;
        case FaultKind::leak:
            return 0.01;
        default:
            return 0.02;
    }
}

double size_of(FaultKind kind) {
    switch (kind) {
        case FaultKind::injector:
            return fault_injector;
        case FaultKind::sensor:
            return fault_sensor;
        case FaultKind::runner:
            return fault_runner;
        case FaultKind::leak:
            return fault_leak;
        default:
            return fault_reading;
    }
}

}  // namespace

const FaultCandidate* FaultOdds::possible(FaultKind kind, std::size_t cylinder) const {
    const auto found = std::find_if(list.begin(), list.end(), [&](const FaultCandidate& f) {
        return f.kind == kind && f.cylinder == cylinder && f.probability >= possible_fault;
    });
    return found != list.end() ? &*found : nullptr;
}

FaultOdds fault_odds(const ReadingModel& model,
                     const LeastSquaresResult& fitted,
                     const VectorXd& deviation,
                     const VectorXd& widened) {
    FaultOdds odds;
    const auto& unknowns = model.unknowns();
    const auto& readings = model.readings();
    const MatrixXd& jacobian = fitted.jacobian;
    const Index m = jacobian.rows();
    const MatrixXd reach = jacobian * deviation.asDiagonal();
    const MatrixXd noise = widened.cwiseAbs2().asDiagonal();
    const Eigen::LLT<MatrixXd> covariance(noise + reach * reach.transpose());
    const VectorXd expected = fitted.residuals + jacobian * (model.prior() - fitted.x);
    const VectorXd weighted = covariance.solve(expected);
    const auto consider = [&](FaultCandidate candidate, const VectorXd& effect, double usual) {
        const double size = size_of(candidate.kind);
        const double extra = size * size - usual * usual;
        const double v = effect.dot(covariance.solve(effect));
        if (extra <= 0 || v <= 0) {
            return;
        }
        const double q = effect.dot(weighted);
        const double share = candidate.kind == FaultKind::reading
                                 ? static_cast<double>(m)
                                 : static_cast<double>(unknowns.cylinders);
        candidate.log_odds = std::log(prior_of(candidate.kind) / share / 0.86) -
                             0.5 * std::log1p(extra * v) + 0.5 * q * q * extra / (1 + extra * v);
        candidate.size = -extra * q / (1 + extra * v);
        if (candidate.unknown >= 0) {
            candidate.size += model.prior()[candidate.unknown];
        }
        odds.list.push_back(candidate);
    };
    for (std::size_t c = 0; c < unknowns.cylinders; ++c) {
        for (const auto& [kind, quirk] : {std::pair{FaultKind::injector, Quirk::injector},
                                          {FaultKind::sensor, Quirk::sensor},
                                          {FaultKind::runner, Quirk::runner},
                                          {FaultKind::leak, Quirk::leak}}) {
            const Index at = unknowns.quirk(quirk, c);
            consider({kind, c, at, -1}, jacobian.col(at), deviation[at]);
        }
    }
    for (Index k = 0; k < m; ++k) {
        if (widened[k] > 1) {
            continue;
        }
        const auto& reading = readings[static_cast<std::size_t>(k)];
        consider({FaultKind::reading, reading.cylinder, -1, k}, VectorXd::Unit(m, k), 0);
    }
    double largest = 0;
    for (const auto& f : odds.list) {
        largest = std::max(largest, f.log_odds);
    }
    double sum = std::exp(-largest);
    for (const auto& f : odds.list) {
        sum += std::exp(f.log_odds - largest);
    }
    odds.none = std::exp(-largest) / sum;
    for (auto& f : odds.list) {
        f.probability = std::exp(f.log_odds - largest) / sum;
    }
    std::stable_sort(odds.list.begin(), odds.list.end(), [](const auto& a, const auto& b) {
        return a.probability > b.probability;
    });
    return odds;
}

}  // namespace plenair::study
