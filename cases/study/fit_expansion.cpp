#include "cases/study/fit_expansion.hpp"

#include "cases/study/march_together.hpp"

#include <cmath>
#include <set>
#include <utility>

namespace plenair::study {

using Eigen::Index;
using Eigen::VectorXd;

namespace {

/// As if the other side were straight: `solved` at distance `there`, wanted at `here` on the other
/// side of the centre.
double mirrored(double centre, double solved, double there, double here) {
    return there > 0 ? centre - (solved - centre) * here / there : centre;
}

VectorXd mirrored(const VectorXd& centre, const VectorXd& solved, double there, double here) {
    return there > 0 ? VectorXd(centre - (solved - centre) * (here / there)) : centre;
}

/// Fills what one side lacks from the other. @returns points that both lack
std::set<std::size_t> complete(
    const Answer& centre, Answer& low, Answer& high, double below, double above) {
    std::set<std::size_t> lost;
    for (std::size_t i = 0; i < centre.bench.size(); ++i) {
        const double at = centre.bench[i];
        double& a = low.bench[i];
        double& b = high.bench[i];
        if (!std::isfinite(a)) {
            a = mirrored(at, b, above, below);
        } else if (!std::isfinite(b)) {
            b = mirrored(at, a, below, above);
        }
    }
    for (const auto& [p, at] : centre.points) {
        const bool has_low = low.points.contains(p);
        const bool has_high = high.points.contains(p);
        if (!has_low && !has_high) {
            lost.insert(p);
            continue;
        }
        if (has_low && has_high) {
            continue;
        }
        Answer one, other;
        one.points[p] = at;
        other.points[p] = has_low ? low.points.at(p) : high.points.at(p);
        const VectorXd filled = mirrored(
            one.numbers(), other.numbers(), has_low ? below : above, has_low ? above : below);
        (has_low ? high : low).points[p] = one.with(filled).points.at(p);
    }
    return lost;
}

}  // namespace

Expansion::Expansion(Eigen::MatrixXd trials,
                     const std::vector<Answer>& answers,
                     std::map<std::size_t, std::vector<Start>> ends)
    : trials_(std::move(trials)), shape_(answers.front()), ends_(std::move(ends)) {
    const Index entries = trials_.rows();
    std::vector<Answer> low, high;
    for (Index i = 0; i < entries; ++i) {
        low.push_back(answers[static_cast<std::size_t>(1 + 2 * i)]);
        high.push_back(answers[static_cast<std::size_t>(2 + 2 * i)]);
        const double below = trials_(i, 0) - trials_(i, 1 + 2 * i);
        const double above = trials_(i, 2 + 2 * i) - trials_(i, 0);
        for (const std::size_t p : complete(shape_, low.back(), high.back(), below, above)) {
            const auto& why = low.back().failures;
            const auto found = why.find(p);
            shape_.failures[p] = found == why.end() ? "a trial did not converge" : found->second;
            shape_.points.erase(p);
        }
    }
    base_ = shape_.numbers();
    slope_.setZero(base_.size(), entries);
    curvature_.setZero(base_.size(), entries);
    for (Index i = 0; i < entries; ++i) {
        for (auto* side : {&low[static_cast<std::size_t>(i)], &high[static_cast<std::size_t>(i)]}) {
            std::erase_if(side->points,
                          [&](const auto& at) { return !shape_.points.contains(at.first); });
        }
        const VectorXd minus = low[static_cast<std::size_t>(i)].numbers() - base_;
        const VectorXd plus = high[static_cast<std::size_t>(i)].numbers() - base_;
        const double a = trials_(i, 0) - trials_(i, 1 + 2 * i);
        const double b = trials_(i, 2 + 2 * i) - trials_(i, 0);
        if (a > 0 && b > 0) {
            // The parabola through three places that need not be evenly apart.
            slope_.col(i) = (plus * (a / b) - minus * (b / a)) / (a + b);
            curvature_.col(i) = 2 * (plus / b + minus / a) / (a + b);
        } else if (a > 0 || b > 0) {
            slope_.col(i) = b > 0 ? VectorXd(plus / b) : VectorXd(-minus / a);
        }
    }
}

Answer Expansion::at(const VectorXd& x, const VectorXd& correction) const {
    const VectorXd off = x - trials_.col(0);
    VectorXd numbers = base_ + slope_ * off + 0.5 * curvature_ * off.cwiseAbs2();
    if (correction.size() > 0) {
        numbers += correction;
    }
    return shape_.with(numbers);
}

VectorXd Expansion::correction(const VectorXd& x, const Answer& solved) const {
    const Answer mine = at(x, {});
    Answer there = mine;
    there.bench = solved.bench;
    for (auto& [p, answer] : there.points) {
        if (const auto found = solved.points.find(p); found != solved.points.end()) {
            answer = found->second;
        }
    }
    return there.numbers() - mine.numbers();
}

std::vector<Answer> Expansion::slopes(const VectorXd& x) const {
    std::vector<Answer> list;
    for (Index i = 0; i < slope_.cols(); ++i) {
        list.push_back(shape_.with(slope_.col(i) + curvature_.col(i) * (x[i] - trials_(i, 0))));
    }
    return list;
}

Start Expansion::start_at(std::size_t point, const VectorXd& x) const {
    const auto found = ends_.find(point);
    if (found == ends_.end() || found->second.front().state.empty()) {
        return {};
    }
    const auto& ends = found->second;
    std::vector<const Start*> list{&ends.front()};
    std::vector<double> weights{1.0};
    for (Index i = 0; i < trials_.rows(); ++i) {
        const double off = x[i] - trials_(i, 0);
        const Index side = off < 0 ? 1 + 2 * i : 2 + 2 * i;
        const double reach = trials_(i, side) - trials_(i, 0);
        const Start& end = ends[static_cast<std::size_t>(side)];
        if (off == 0 || reach == 0 || end.state.empty()) {
            continue;
        }
        list.push_back(&end);
        weights.push_back(off / reach);
        weights.front() -= off / reach;
    }
    return blended(list, weights);
}

}  // namespace plenair::study
