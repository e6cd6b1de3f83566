#include "cases/study/choose_surface.hpp"

#include "solver/arithmetic/linear.hpp"

#include <cmath>

namespace plenair::study {

namespace {

using Index = Eigen::Index;

double design_distance(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return std::sqrt(sum);
}

double cube(double r) {
    return r * r * r;
}

}  // namespace

Surface::Surface(std::vector<std::vector<double>> places, const std::vector<Outputs>& outputs)
    : places_(std::move(places)) {
    const auto n = static_cast<Index>(places_.size());
    const auto d = static_cast<Index>(places_.front().size());
    const auto m = static_cast<Index>(outputs.front().size());
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n + d + 1, n + d + 1);
    Eigen::MatrixXd b = Eigen::MatrixXd::Zero(n + d + 1, m);
    for (Index i = 0; i < n; ++i) {
        const auto& at = places_[static_cast<std::size_t>(i)];
        for (Index j = 0; j < i; ++j) {
            a(i, j) = a(j, i) = cube(design_distance(at, places_[static_cast<std::size_t>(j)]));
        }
        a(i, n) = a(n, i) = 1;
        for (Index k = 0; k < d; ++k) {
            a(i, n + 1 + k) = a(n + 1 + k, i) = at[static_cast<std::size_t>(k)];
        }
        for (Index k = 0; k < m; ++k) {
            b(i, k) = outputs[static_cast<std::size_t>(i)][static_cast<std::size_t>(k)];
        }
    }
    weights_ = arithmetic::solve(a, b);
}

Outputs Surface::at(const std::vector<double>& place) const {
    const auto n = static_cast<Index>(places_.size());
    Eigen::RowVectorXd basis(weights_.rows());
    for (Index i = 0; i < n; ++i) {
        basis(i) = cube(design_distance(place, places_[static_cast<std::size_t>(i)]));
    }
    basis(n) = 1;
    for (std::size_t k = 0; k < place.size(); ++k) {
        basis(n + 1 + static_cast<Index>(k)) = place[k];
    }
    const Eigen::RowVectorXd y = basis * weights_;
    return {y.data(), y.data() + y.size()};
}

Eigen::MatrixXd Surface::gradient(const std::vector<double>& place) const {
    const auto n = static_cast<Index>(places_.size());
    const auto d = static_cast<Index>(place.size());
    Eigen::MatrixXd basis = Eigen::MatrixXd::Zero(weights_.rows(), d);
    for (Index i = 0; i < n; ++i) {
        const auto& at = places_[static_cast<std::size_t>(i)];
        const double r = design_distance(place, at);
        for (Index k = 0; k < d; ++k) {
            const auto j = static_cast<std::size_t>(k);
            basis(i, k) = 3 * r * (place[j] - at[j]);
        }
    }
    for (Index k = 0; k < d; ++k) {
        basis(n + 1 + k, k) = 1;
    }
    return weights_.transpose() * basis;
}

}  // namespace plenair::study
