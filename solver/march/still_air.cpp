#include "solver/march/still_air.hpp"

#include <cstddef>

namespace plenair {

namespace {

constexpr double largest_extrapolation = 0.3;  // in one cycle

}  // namespace

void add_still_air(const Network& n,
                   const PassiveTransport& transport,
                   const std::vector<double>& start,
                   const std::vector<double>& end,
                   const std::vector<double>& scale,
                   Eigen::VectorXd& image) {
    const Layout& at = n.layout;
    const double gamma = n.gas.gamma;
    const auto pressure = [&](const std::vector<double>& s, std::size_t i) {
        const auto cells = static_cast<std::size_t>(at.cells);
        const double rho_u = s[cells + i];
        return (gamma - 1.0) * (s[2 * cells + i] - 0.5 * rho_u * rho_u / s[i]);
    };
    const auto& cells = transport.cells();
    Eigen::VectorXd change(static_cast<Eigen::Index>(cells.size()));
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const auto i = static_cast<std::size_t>(cells[k]);
        const double p = pressure(end, i);
        change[static_cast<Eigen::Index>(k)] =
            (end[i] - start[i]) / end[i] - (p - pressure(start, i)) / (gamma * p);
    }
    Eigen::VectorXd more = transport.forecast(change);
    const double largest = more.cwiseAbs().maxCoeff();
    if (largest > largest_extrapolation) {
        more *= largest_extrapolation / largest;
    }
    for (std::size_t k = 0; k < cells.size(); ++k) {
        const auto i = static_cast<std::size_t>(cells[k]);
        const double q = more[static_cast<Eigen::Index>(k)];
        const double u = end[static_cast<std::size_t>(at.rho_u()) + i] / end[i];
        const auto add = [&](int first, double value) {
            const std::size_t j = static_cast<std::size_t>(first) + i;
            image[static_cast<Eigen::Index>(j)] += value / scale[j];
        };
        add(at.rho(), end[i] * q);
        add(at.rho_u(), end[i] * u * q);
        add(at.rho_e(), 0.5 * end[i] * u * u * q);
        add(at.rho_y(), end[static_cast<std::size_t>(at.rho_y()) + i] * q);
    }
}

}  // namespace plenair
