#include "solver/ensemble/warm_start.hpp"

#include "solver/arithmetic/linear.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace plenair {

double squared_distance(const std::vector<double>& a, const std::vector<double>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum;
}

namespace {

double cubed_distance(const std::vector<double>& a, const std::vector<double>& b) {
    const double square = squared_distance(a, b);
    return square * std::sqrt(square);
}

std::vector<double> nearest_alone(std::span<const std::vector<double>> places,
                                  const std::vector<double>& target) {
    std::vector<double> weights(places.size(), 0.0);
    const auto nearest =
        std::min_element(places.begin(), places.end(), [&](const auto& a, const auto& b) {
            return squared_distance(a, target) < squared_distance(b, target);
        });
    weights[static_cast<std::size_t>(nearest - places.begin())] = 1.0;
    return weights;
}

}  // namespace

std::vector<double> spline_weights(std::span<const std::vector<double>> places,
                                   const std::vector<double>& target) {
    constexpr double largest_sum = 3.0;
    const auto count = static_cast<Eigen::Index>(places.size());
    const auto plane = static_cast<Eigen::Index>(target.size()) + 1;
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(count + plane, count + plane);
    Eigen::VectorXd b(count + plane);
    for (Eigen::Index i = 0; i < count; ++i) {
        const auto& place = places[static_cast<std::size_t>(i)];
        for (Eigen::Index j = 0; j < i; ++j) {
            a(i, j) = a(j, i) = cubed_distance(place, places[static_cast<std::size_t>(j)]);
        }
        b[i] = cubed_distance(place, target);
        a(i, count) = a(count, i) = 1.0;
        for (Eigen::Index k = 1; k < plane; ++k) {
            a(i, count + k) = a(count + k, i) = place[static_cast<std::size_t>(k - 1)];
        }
    }
    b[count] = 1.0;
    for (Eigen::Index k = 1; k < plane; ++k) {
        b[count + k] = target[static_cast<std::size_t>(k - 1)];
    }
    // Least norm where the places share a plane or are fewer than it needs.
    const Eigen::VectorXd x = arithmetic::least_norm(a, b);
    std::vector<double> weights(x.data(), x.data() + count);
    double sum = 0.0;
    double size = 0.0;
    for (const double w : weights) {
        sum += w;
        size += std::abs(w);
    }
    if (!(std::abs(sum - 1.0) < 1e-6 && size < largest_sum)) {
        return nearest_alone(places, target);
    }
    return weights;
}

std::vector<std::size_t> farthest_first(std::span<const std::vector<double>> places) {
    std::vector<std::size_t> order;
    std::vector<double> distance(places.size(), std::numeric_limits<double>::max());
    std::size_t next = 0;
    while (order.size() < places.size()) {
        order.push_back(next);
        distance[next] = -1.0;
        for (std::size_t i = 0; i < places.size(); ++i) {
            if (distance[i] >= 0.0) {
                distance[i] = std::min(distance[i], squared_distance(places[i], places[next]));
            }
        }
        next = static_cast<std::size_t>(std::max_element(distance.begin(), distance.end()) -
                                        distance.begin());
    }
    return order;
}

}  // namespace plenair
