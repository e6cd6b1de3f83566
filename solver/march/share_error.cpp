#include "solver/march/share_error.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace plenair {

void ShareError::note_trapped(const Eigen::VectorXd& trapped, const Eigen::VectorXd& forecast) {
    // Of one cylinder the share is always 1: its air stands for it.
    const auto count = trapped.size();
    const double own = trapped.sum();
    const auto bias = [&](const Eigen::VectorXd& air) {
        return Eigen::VectorXd(air * (static_cast<double>(count) / (count > 1 ? air.sum() : own)));
    };
    trapped_ = std::numeric_limits<double>::infinity();
    cylinder_ = -1;
    if (last_forecast_.size() == count) {
        const Eigen::VectorXd a = bias(trapped);
        const Eigen::VectorXd b = bias(forecast);
        const Eigen::VectorXd c = bias(last_forecast_);
        trapped_ = 0.0;
        for (Eigen::Index i = 0; i < count; ++i) {
            const double low = std::min({a[i], b[i], c[i]});
            const double high = std::max({a[i], b[i], c[i]});
            if (!(high - low <= trapped_)) {  // NaN too
                trapped_ = high - low;
                cylinder_ = static_cast<int>(i);
            }
        }
    }
    last_forecast_ = forecast;
}

void ShareError::note_residual(double residual) {
    constexpr std::size_t cycles = 3;
    residuals_.push_back(residual);
    if (residuals_.size() > cycles + 1) {
        residuals_.erase(residuals_.begin());
    }
    if (residuals_.size() == 1) {
        contraction_ = expected_contraction_;
        return;
    }
    const double fall = residual / residuals_.front();
    const auto over = static_cast<double>(residuals_.size() - 1);
    contraction_ =
        fall < 1.0 ? std::min(arithmetic::exp(arithmetic::log(fall) / over), slowest) : slowest;
}

void ShareError::note_still_air(const Network& n,
                                const std::vector<double>& start,
                                const std::vector<double>& end,
                                const Eigen::VectorXd& scaled_start,
                                const Eigen::VectorXd& scaled_end) {
    still_air_ = 0.0;
    cell_ = -1;
    for (const Chain& chain : n.chains) {
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double moved = std::abs((scaled_end[i] - scaled_start[i]) / scaled_end[i]);
            if (!(moved <= still_air_)) {  // NaN too
                still_air_ = moved;
                cell_ = i;
            }
        }
    }
    if (cell_ < 0) {
        return;
    }
    const auto temperature = [&](const std::vector<double>& s) {
        const auto cell = static_cast<std::size_t>(cell_);
        const auto at = [&](int first) { return s[static_cast<std::size_t>(first) + cell]; };
        const double rho = at(n.layout.rho());
        const double u = at(n.layout.rho_u()) / rho;
        return (n.gas.gamma - 1.0) * (at(n.layout.rho_e()) / rho - 0.5 * u * u) /
               n.gas.gas_constant;
    };
    warming_ = temperature(end) - temperature(start);
}

}  // namespace plenair
