#include "solver/march/cycle.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/anderson.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/report_cycle.hpp"
#include "solver/network/builder.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

constexpr double cycle_angle = 4.0 * std::numbers::pi;
constexpr int anderson_depth = 5;
constexpr double anderson_threshold = 0.03;
constexpr int max_retries = 4;
constexpr double first_rate = 1.03;  // fastest wave of a running engine over that of still gas
constexpr double rate_ladder = 1.08;
constexpr double rate_margin = 1.05;
constexpr double flow_tolerance = 5e-7;

/// Iteration of one point: the state, how far it is from periodic, and the balances of the last
/// cycle.
class PeriodicSearch final {
public:
    PeriodicSearch(Network& network, const geometry::Engine& engine, const OperatingPoint& point)
        : n_(network), engine_(engine), point_(point), anderson_(anderson_depth) {
        const double rho = point.pressure / (n_.source.rt);
        air_flow_ =
            rho * engine.swept_volume() * engine.cylinder_count() * point.speed / cycle_angle;
        scale_ = state_scales(n_, air_flow_);
    }

    void run(PointResult& result, const CycleOptions& options);

private:
    void make_table(double rate);
    void cycle_balances(PointResult& result, const Stored& before);
    bool accelerate();
    [[nodiscard]] double residual() const;

    Network& n_;
    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    Anderson anderson_;
    std::vector<double> scale_, start_, state_;
    std::vector<int> trapped_steps_;
    double air_flow_ = 0;
    double rate_ = 0;
};

void PeriodicSearch::make_table(double rate) {
    rate_ = rate;
    n_.crank = make_crank_table(engine_, point_, 1.0 / rate);
    n_.cylinder.relax = point_.speed / 0.12;  // follows within 7 degrees of crank angle
    trapped_steps_ = trapped_steps(engine_, point_, n_.crank);
}

double PeriodicSearch::residual() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < scale_.size(); ++i) {
        const double d = (state_[i] - start_[i]) / scale_[i];
        sum += d * d;
    }
    return std::sqrt(sum / static_cast<double>(scale_.size()));
}

bool PeriodicSearch::accelerate() {
    const auto size = static_cast<Eigen::Index>(scale_.size());
    Eigen::VectorXd x(size);
    Eigen::VectorXd g(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        x[i] = start_[j] / scale_[j];
        g[i] = state_[j] / scale_[j];
    }
    const Eigen::VectorXd next = anderson_.next(x, g);
    // Back to the plain image where the combination leaves physics: densities and energies keep
    // their sign.
    const Layout& at = n_.layout;
    for (int i = 0; i < at.cells; ++i) {
        const double rho = next[at.rho() + i];
        const double energy = next[at.rho_e() + i];
        if (!(rho > 0.2 * g[at.rho() + i] && rho < 5.0 * g[at.rho() + i] &&
              energy > 0.2 * g[at.rho_e() + i])) {
            return false;
        }
    }
    for (int c = 0; c < at.cylinders; ++c) {
        const int m = at.cylinder_mass() + c;
        if (!(next[m] > 0.2 * g[m])) {
            return false;
        }
    }
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        state_[j] = next[i] * scale_[j];
    }
    return true;
}

void PeriodicSearch::cycle_balances(PointResult& result, const Stored& before) {
    const Layout& at = n_.layout;
    const auto total = [&](Layout::Total which) {
        return state_[static_cast<std::size_t>(at.total(which))];
    };
    const Stored after = stored(n_, state_);
    const double in = std::max(std::abs(total(Layout::source_mass)), 1e-12);
    result.mass_balance = std::abs(total(Layout::source_mass) - total(Layout::exhaust_mass) -
                                   (after.mass - before.mass)) /
                          in;
    const double energy_in =
        std::abs(total(Layout::source_energy)) + std::abs(total(Layout::released_heat));
    result.energy_balance = std::abs(total(Layout::source_energy) + total(Layout::released_heat) +
                                     total(Layout::wall_heat) - total(Layout::exhaust_energy) -
                                     total(Layout::cylinder_heat) - total(Layout::work) -
                                     (after.energy - before.energy)) /
                            energy_in;
    result.fresh_air_balance = std::abs(total(Layout::source_fresh) - total(Layout::exhaust_fresh) -
                                        total(Layout::burned_air) - (after.fresh - before.fresh)) /
                               in;
    double delivered = 0.0;
    for (int v = 0; v < at.valves; ++v) {
        delivered += state_[static_cast<std::size_t>(at.delivered_mass() + v)];
    }
    result.flow_balance = std::abs(delivered - total(Layout::source_mass)) / in;
}

void PeriodicSearch::run(PointResult& result, const CycleOptions& options) {
    n_.crank = make_crank_table(engine_, point_, cycle_angle / point_.speed / 90.0);
    state_ = initial_state(n_);
    make_table(first_rate * fastest_rate(n_, state_));
    state_ = initial_state(n_);
    result.cycles = 0;
    int plain = 0;
    int retries = 0;
    while (result.cycles < n_.model.max_cycles) {
        CycleMap map(n_);
        start_ = state_;
        const Stored before = stored(n_, state_);
        if (!map.march(state_, trapped_steps_, {})) {
            if (retries++ < max_retries) {
                // The first transient was faster than the guess: begin again with a shorter step.
                make_table(1.5 * rate_);
                state_ = initial_state(n_);
                anderson_.reset();
                continue;
            }
            result.failure = "the march left physical states in cycle " +
                             std::to_string(result.cycles + 1) +
                             "; lower model.courant or check the point's pressures";
            return;
        }
        ++result.cycles;
        ++plain;
        result.periodic_residual = residual();
        cycle_balances(result, before);
        if (map.largest_rate > rate_margin * rate_ && result.cycles > 1) {
            // The frozen step is too long for what the cycle turned out to be: freeze anew.
            // A ladder of rates: variants of one engine, and its mirror image, then share their
            // steps.
            double rate = rate_;
            while (rate < map.largest_rate) {
                rate *= rate_ladder;
            }
            make_table(rate);
            anderson_.reset();
            continue;
        }
        const bool done = result.periodic_residual < n_.model.tolerance &&
                          result.flow_balance < std::max(flow_tolerance, 0.5 * n_.model.tolerance);
        if (done && result.cycles >= options.min_cycles) {
            result.converged = true;
            break;
        }
        if (result.periodic_residual < anderson_threshold && plain > 2) {
            if (!accelerate()) {
                anderson_.reset();
            }
        }
    }
    if (!result.converged) {
        result.failure = "not periodic after " + std::to_string(result.cycles) +
                         " cycles; raise model.max_cycles or model.tolerance";
        return;
    }
    ReportCycle report(n_, engine_, point_);
    report.fill(state_, trapped_steps_, options.traces, result);
}

}  // namespace

PointResult solve_point(const geometry::Intake& intake,
                        const geometry::Engine& engine,
                        const OperatingPoint& point,
                        const Model& model,
                        const CycleOptions& options) {
    Network network = build_engine(intake, engine, point, model);
    PointResult result;
    result.name = point.name;
    result.speed = point.speed;
    result.source_pressure = point.pressure;
    result.source_temperature = point.temperature;
    PeriodicSearch search(network, engine, point);
    search.run(result, options);
    return result;
}

}  // namespace plenair
