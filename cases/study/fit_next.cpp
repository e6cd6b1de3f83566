#include "cases/study/fit_next.hpp"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cmath>

namespace plenair::study {

std::vector<NextMeasurement> rank_next(const Eigen::MatrixXd& covariance,
                                       const std::vector<Candidate>& candidates,
                                       const std::vector<Target>& targets) {
    std::vector<NextMeasurement> list;
    for (const auto& candidate : candidates) {
        NextMeasurement next;
        next.what = candidate.what;
        next.effort = candidate.effort;
        const Eigen::MatrixXd gain = candidate.rows * covariance;
        const auto count = candidate.rows.rows();
        const Eigen::LLT<Eigen::MatrixXd> noise(Eigen::MatrixXd::Identity(count, count) +
                                                gain * candidate.rows.transpose());
        double spreads = 0;
        for (const auto& target : targets) {
            const double variance = target.row.dot(covariance * target.row);
            if (variance <= 0) {
                continue;
            }
            const Eigen::VectorXd cross = gain * target.row;
            const double left = std::max(1 - cross.dot(noise.solve(cross)) / variance, 0.0);
            const double narrows = 1 - std::sqrt(left);
            if (target.entry.empty()) {
                next.spread_narrows += narrows;
                spreads += 1;
            } else if (narrows > next.entry_narrows) {
                next.entry_narrows = narrows;
                next.entry = target.entry;
            }
        }
        if (spreads > 0) {
            next.spread_narrows /= spreads;
        }
        if (next.spread_narrows > 0.005 || next.entry_narrows > 0.005) {
            list.push_back(next);
        }
    }
    const auto worth = [](const NextMeasurement& n) {
        return (n.spread_narrows + n.entry_narrows) / n.effort;
    };
    std::stable_sort(list.begin(), list.end(), [&](const auto& a, const auto& b) {
        return worth(a) > worth(b);
    });
    return list;
}

}  // namespace plenair::study
