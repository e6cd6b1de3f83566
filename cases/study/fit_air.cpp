#include "cases/study/fit_air.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair::study {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

std::size_t cylinders_of(const FinishedFit& fit) {
    return static_cast<std::size_t>(fit.drawn.engine.cylinder_count());
}

/// Derivatives of the biases at a point by all unknowns: [cylinder][unknown].
MatrixXd bias_rows(const FinishedFit& fit, std::size_t point) {
    const auto& unknowns = fit.readings.unknowns();
    const std::size_t cylinders = cylinders_of(fit);
    MatrixXd rows = MatrixXd::Zero(static_cast<Index>(cylinders), unknowns.count());
    for (std::size_t i = 0; i < fit.slopes.size(); ++i) {
        const auto& bias = fit.slopes[i].points.at(point).bias;
        for (std::size_t c = 0; c < cylinders; ++c) {
            rows(static_cast<Index>(c), static_cast<Index>(i)) = bias[c];
        }
    }
    if (unknowns.cylinders == 0) {
        return rows;
    }
    const QuirkActs acts = fit.readings.acts(point, fit.model.effects(point));
    for (std::size_t c = 0; c < cylinders; ++c) {
        const auto k = static_cast<Index>(c);
        for (std::size_t r = 0; r < cylinders; ++r) {
            rows(k, unknowns.quirk(Quirk::runner, r)) = acts.runner[r][c];
        }
        rows(k, unknowns.quirk(Quirk::leak, c)) = acts.leak;
    }
    return rows;
}

VectorXd flow_row(const FinishedFit& fit, std::size_t point) {
    VectorXd row = VectorXd::Zero(fit.readings.unknowns().count());
    for (std::size_t i = 0; i < fit.slopes.size(); ++i) {
        row[static_cast<Index>(i)] =
            fit.slopes[i].points.at(point).air_flow / fit.at_fit.points.at(point).air_flow;
    }
    return row;
}

/// Half width before anything was read, 95 %; of what had no prior nothing.
double half_before(const FinishedFit& fit, const VectorXd& row) {
    double variance = 0;
    for (Index i = 0; i < row.size(); ++i) {
        const double d = row[i] * fit.readings.deviation()[i];
        variance += d * d;
    }
    return normal95 * std::sqrt(variance);
}

/// Places of the least and of the largest.
std::pair<Index, Index> ends_of(const std::vector<double>& bias) {
    const auto [least, most] = std::minmax_element(bias.begin(), bias.end());
    return {least - bias.begin(), most - bias.begin()};
}

FittedAir air_at(const FinishedFit& fit, std::size_t point, const MatrixXd& rows) {
    FittedAir shown;
    shown.point = fit.drawn.points[point].name;
    const auto entries = static_cast<Index>(fit.slopes.size());
    const Index others = rows.cols() - entries;
    const VectorXd quirks =
        rows.rightCols(others) * (fit.fitted.x - fit.readings.prior()).tail(others);
    for (std::size_t c = 0; c < cylinders_of(fit); ++c) {
        const auto k = static_cast<Index>(c);
        shown.before.push_back(fit.as_made.points.at(point).bias[c]);
        shown.before_half.push_back(half_before(fit, rows.row(k)));
        shown.after.push_back(fit.at_fit.points.at(point).bias[c] + quirks[k]);
        shown.after_half.push_back(fit.half(rows.row(k)));
    }
    const auto [low0, high0] = ends_of(shown.before);
    const auto [low1, high1] = ends_of(shown.after);
    const auto at = [](const std::vector<double>& bias, Index k) {
        return bias[static_cast<std::size_t>(k)];
    };
    shown.spread_before = at(shown.before, high0) - at(shown.before, low0);
    shown.spread_after = at(shown.after, high1) - at(shown.after, low1);
    shown.spread_before_half = half_before(fit, rows.row(high0) - rows.row(low0));
    shown.spread_after_half = fit.half(rows.row(high1) - rows.row(low1));
    return shown;
}

}  // namespace

AirRows add_air(const FinishedFit& fit, FitResult& result) {
    AirRows rows;
    for (std::size_t p = 0; fit.drawn.has_engine && p < fit.drawn.points.size(); ++p) {
        if (!fit.at_fit.points.contains(p) || !fit.as_made.points.contains(p)) {
            result.notes.push_back(fmt::format("{}: no shares, for a trial did not converge",
                                               fit.drawn.points[p].name));
            continue;
        }
        rows.bias[p] = bias_rows(fit, p);
        rows.flow[p] = flow_row(fit, p);
        result.air.push_back(air_at(fit, p, rows.bias[p]));
    }
    return rows;
}

}  // namespace plenair::study
