#include "solver/march/iterate.hpp"

#include "solver/arithmetic/real.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair {

namespace {

constexpr int anderson_depth = 5;
constexpr double anderson_threshold = 0.03;
constexpr int plain_cycles = 2;  // before the history of a cold start is of use
constexpr double setback = 1.2;  // growth of the residual that says so
constexpr int max_retries = 4;
constexpr double rate_ladder = 1.04;
constexpr double rate_margin = 1.03;

constexpr double certified = 1e-5;  // tolerance

/// How far the flows of source and cylinders may differ, relative: the tolerance of a certified
/// answer; a search does with twice its own, because the slow filling of chambers, which it mostly
/// is, moves no share.
double flow_tolerance(double tolerance) {
    return tolerance > certified ? 2.0 * tolerance : std::max(5e-7, tolerance);
}

/// Air that a volumetric efficiency of one would draw [kg/s].
double nominal_air_flow(const Network& n) {
    double time = 0.0;
    for (const double step : n.crank.step) {
        time += step;
    }
    return n.source.pressure / n.source.rt * n.cylinder.displacement * n.layout.cylinders / time;
}

}  // namespace

double rate_rung(double rate) {
    const double rungs = arithmetic::log(rate) / arithmetic::log(rate_ladder);
    return arithmetic::exp(std::ceil(rungs - 1e-9) * arithmetic::log(rate_ladder));
}

Iterate::Iterate(const Network& network, std::vector<double> start, bool warm)
    : state(std::move(start)),
      n_(network),
      anderson_(anderson_depth),
      scale_(state_scales(network, nominal_air_flow(network))),
      warm_(warm) {}

void Iterate::begin_cycle() {
    std::fill(state.begin() + n_.layout.periodic_size(), state.end(), 0.0);
    start_ = state;
    before_ = stored(n_, state);
}

Iterate::Verdict Iterate::end_cycle(double largest_rate, double rate, int min_cycles) {
    ++cycles;
    balances_.periodic_residual = residual();
    note_balances();
    if (largest_rate > rate_margin * rate && cycles > 1) {
        // The frozen step is too long for what the cycle turned out to be: freeze anew.
        wanted_rate = rate_rung(largest_rate);
        anderson_.reset();
        return cycles < n_.model.max_cycles ? Verdict::faster : Verdict::exhausted;
    }
    const bool done = balances_.periodic_residual < tolerance() &&
                      balances_.flow_balance < flow_tolerance(tolerance());
    if (done && cycles >= min_cycles) {
        return Verdict::periodic;
    }
    if (cycles >= n_.model.max_cycles) {
        return Verdict::exhausted;
    }
    if (cycles > 1 && balances_.periodic_residual > setback * last_residual_) {
        anderson_.reset();  // what it learned no longer holds
    }
    last_residual_ = balances_.periodic_residual;
    if (balances_.periodic_residual < anderson_threshold && (warm_ || cycles > plain_cycles)) {
        state = next();
    }
    return Verdict::again;
}

bool Iterate::restart(std::vector<double> start, double rate) {
    state = std::move(start);
    anderson_.reset();
    warm_ = false;
    wanted_rate = rate_rung(1.5 * rate);
    return retries_++ < max_retries;
}

int Iterate::age() const {
    return std::max(start_age, cycles);
}

double Iterate::tolerance() const {
    constexpr double usual_cycles = 8.0;
    const double slowness = std::max(1.0, age() / usual_cycles);
    const double own = n_.model.tolerance;
    return std::max(own / (slowness * slowness), std::min(own, certified));
}

bool Iterate::near_the_end() const {
    // An accelerated cycle seldom gains more than this.
    constexpr double usual_gain = 12.0;
    return cycles > 0 && balances_.periodic_residual < usual_gain * tolerance();
}

void Iterate::report(PointResult& result) const {
    result.cycles = cycles;
    result.periodic_residual = balances_.periodic_residual;
    result.mass_balance = balances_.mass_balance;
    result.energy_balance = balances_.energy_balance;
    result.fresh_air_balance = balances_.fresh_air_balance;
    result.flow_balance = balances_.flow_balance;
}

bool Iterate::healthy() const {
    return physical(n_, state);
}

double Iterate::residual() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < scale_.size(); ++i) {
        const double d = (state[i] - start_[i]) / scale_[i];
        sum += d * d;
    }
    return std::sqrt(sum / static_cast<double>(scale_.size()));
}

std::vector<double> Iterate::next() {
    const auto size = static_cast<Eigen::Index>(scale_.size());
    Eigen::VectorXd x(size);
    Eigen::VectorXd g(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        x[i] = start_[j] / scale_[j];
        g[i] = state[j] / scale_[j];
    }
    const Eigen::VectorXd combined = anderson_.next(x, g);
    std::vector<double> onward = state;  // the image itself where the combination makes no sense
    if (!sensible(combined, g)) {
        anderson_.reset();
        return onward;
    }
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        onward[j] = combined[i] * scale_[j];
    }
    return onward;
}

/// Whether a combination can stand for an image: densities and energies keep their sign.
bool Iterate::sensible(const Eigen::VectorXd& combined, const Eigen::VectorXd& image) const {
    const Layout& at = n_.layout;
    for (int i = 0; i < at.cells; ++i) {
        const double rho = combined[at.rho() + i];
        const double of_image = image[at.rho() + i];
        if (!(rho > 0.2 * of_image && rho < 5.0 * of_image &&
              combined[at.rho_e() + i] > 0.2 * image[at.rho_e() + i])) {
            return false;
        }
    }
    for (int c = 0; c < at.cylinders; ++c) {
        const int m = at.cylinder_mass() + c;
        if (!(combined[m] > 0.2 * image[m])) {
            return false;
        }
    }
    return true;
}

void Iterate::note_balances() {
    const Layout& at = n_.layout;
    const auto total = [&](Layout::Total which) {
        return state[static_cast<std::size_t>(at.total(which))];
    };
    const Stored after = stored(n_, state);
    const double in = std::max(std::abs(total(Layout::source_mass)), 1e-12);
    balances_.mass_balance = std::abs(total(Layout::source_mass) - total(Layout::exhaust_mass) -
                                      (after.mass - before_.mass)) /
                             in;
    const double energy_in =
        std::abs(total(Layout::source_energy)) + std::abs(total(Layout::released_heat));
    balances_.energy_balance =
        std::abs(total(Layout::source_energy) + total(Layout::released_heat) +
                 total(Layout::wall_heat) - total(Layout::exhaust_energy) -
                 total(Layout::cylinder_heat) - total(Layout::work) -
                 (after.energy - before_.energy)) /
        energy_in;
    balances_.fresh_air_balance =
        std::abs(total(Layout::source_fresh) - total(Layout::exhaust_fresh) -
                 total(Layout::burned_air) - (after.fresh - before_.fresh)) /
        in;
    double delivered = 0.0;
    for (int v = 0; v < at.valves; ++v) {
        delivered += state[static_cast<std::size_t>(at.delivered_mass() + v)];
    }
    balances_.flow_balance = std::abs(delivered - total(Layout::source_mass)) / in;
}

}  // namespace plenair
