#include "solver/march/periodic_iteration.hpp"

#include "geometry/contract.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/march/expected_waves.hpp"
#include "solver/march/failure.hpp"
#include "solver/march/not_an_engine.hpp"
#include "solver/march/still_air.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/passage_damping.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>

namespace plenair {

namespace {

constexpr int anderson_depth = 8;
constexpr double anderson_threshold = 0.1;
constexpr int plain_cycles = 1;  // before the history of a cold start is of use
constexpr double reset_growth = 1.2;  // growth of the residual that says so
constexpr int max_retries = 4;
constexpr double step_rate_ratio = 1.04;
constexpr double rate_margin = 1.03;
constexpr double same_level = 1e-3;  // relative, of two rates: far below one step of that ratio
constexpr double far_too_short = 3.0;  // steps, since one step of a transient asked for them
constexpr int most_lengthened = 2;

// Still air: how much of the carried matrix is believed, first and in long runs, and how often it
// is carried.
constexpr double kept_first = 0.98;
constexpr double kept_later = 0.99;
constexpr int carried_every = 8;
constexpr double certified = 1e-5;  // tolerance

/// How far the flows of source and cylinders may differ, relative. A certified answer: a tenth of
/// its error, and more where the intake stores the air of many cycles, since what fills or empties
/// it is spread over them. A search does with twice its own: the slow filling of chambers, which it
/// mostly is, moves no share.
double flow_tolerance(double error, double stored_cycles) {
    return error > certified ? 2.0 * error : 0.1 * error * std::max(1.0, stored_cycles);
}

/// Estimated error of a share up to which a point that has used up its cycles still has a result,
/// with the error beside it: the step in which fuel is trimmed.
constexpr double largest_error = 5e-3;

/// A point that is not known to that after max_cycles goes on for a while: still air that forgets
/// slowly comes near in the end. A limit below this is taken at its word.
int last_cycle(const Model& model) {
    constexpr int patient = 60;
    constexpr int times = 5;
    return model.max_cycles < patient ? model.max_cycles : times * model.max_cycles;
}

/// Gas that a volumetric efficiency of one would draw [kg/s].
double nominal_air_flow(const Network& n) {
    double time = 0.0;
    for (const double step : n.crank.step) {
        time += step;
    }
    return nominal_charge(n) / time;
}

}  // namespace

double step_rate_level(double rate) {
    const double levels = arithmetic::log(rate) / arithmetic::log(step_rate_ratio);
    return arithmetic::exp(std::ceil(levels - 1e-9) * arithmetic::log(step_rate_ratio));
}

double expected_rate(const Network& n,
                     const std::vector<double>& at_rest,
                     const OperatingPoint& point) {
    Waves waves{{}, passage_damping(n, at_rest)};
    const double sound = std::sqrt(n.gas.gamma * n.source.rt);
    const double stroke = std::numbers::pi / point.speed;
    for (const Chain& chain : n.chains) {
        double wave = stirred_sound * sound;
        if (chain.end == EndKind::valve) {
            const double area = n.face_area[static_cast<std::size_t>(chain.first + chain.count)];
            wave = std::max(wave, runner_wave(sound, n.cylinder.displacement, stroke, area));
        }
        waves.speed.push_back(wave);
    }
    return std::max(fastest_rate(n, waves), fastest_rate(n, at_rest));
}

PeriodicIteration::PeriodicIteration(const Network& network, std::vector<double> at_rest)
    : state(std::move(at_rest)),
      n_(network),
      anderson_(anderson_depth),
      scale_(state_scales(network, nominal_air_flow(network))) {}

PeriodicIteration::PeriodicIteration(const Network& network, Start start)
    : PeriodicIteration(network, std::move(start.state)) {
    PLENAIR_EXPECT(state.size() == static_cast<std::size_t>(n_.layout.size()));
    warm_ = true;
    start_age_ = start.age;
    take_transport(std::move(start.transport));
    if (!start.trapped.empty()) {
        expects_ = true;
        estimate_.expect(Eigen::Map<const Eigen::VectorXd>(
                             start.trapped.data(), static_cast<Eigen::Index>(start.trapped.size())),
                         start.contraction);
    }
}

Start PeriodicIteration::end() const {
    PLENAIR_EXPECT(verdict_ == Verdict::periodic);
    const Eigen::VectorXd& masses = estimate_.forecast();
    return {onward_,
            {masses.data(), masses.data() + masses.size()},
            estimate_.contraction(),
            transport_,
            std::max(start_age_, cycles)};
}

void PeriodicIteration::begin_cycle() {
    std::fill(state.begin() + n_.layout.periodic_size(), state.end(), 0.0);
    start_ = state;
    before_ = stored(n_, state);
}

PeriodicIteration::Verdict PeriodicIteration::end_cycle(double largest_rate,
                                                        double rate,
                                                        const std::vector<double>& trapped,
                                                        int min_cycles) {
    verdict_ = judged(largest_rate, rate, trapped, min_cycles);
    return verdict_;
}

PeriodicIteration::Verdict PeriodicIteration::judged(double largest_rate,
                                                     double rate,
                                                     const std::vector<double>& trapped,
                                                     int min_cycles) {
    ++cycles;
    balances_.cycles = cycles;
    keep_ghosts();
    if (first_rate_ <= 0.0) {
        first_rate_ = rate;
    }
    balances_.periodic_residual = residual();
    estimate_.note_residual(balances_.periodic_residual);
    flows_ = balance(n_, before_, state, balances_);
    trapped_ = std::accumulate(trapped.begin(), trapped.end(), 0.0) / nominal_charge(n_);
    if (largest_rate > rate_margin * rate && cycles > 1) {
        // The frozen step is too long for what the cycle turned out to be.
        return cycles < last_cycle(n_.model)
                   ? change_steps(step_rate_level(largest_rate), extrapolated_still_air())
                   : Verdict::exhausted;
    }
    if (rate > far_too_short * largest_rate && rate > (1.0 + same_level) * first_rate_ &&
        cycles > 2 && lengthened_ < most_lengthened && cycles < last_cycle(n_.model)) {
        ++lengthened_;
        return change_steps(std::max(first_rate_, step_rate_level(largest_rate)),
                            extrapolated_still_air());
    }
    if (cycles > 1 && balances_.periodic_residual > reset_growth * last_residual_) {
        anderson_.reset();  // what it learned no longer holds
    }
    last_residual_ = balances_.periodic_residual;
    accelerate(trapped);
    if (cycles >= min_cycles && periodic(n_.model.tolerance)) {
        // A transient may have asked for shorter steps than the periodic cycle needs. Where a level
        // changes a share by more than the tolerance, an engine and its mirror image must end on
        // the same.
        const double enough = std::max(first_rate_, step_rate_level(largest_rate / rate_margin));
        if (n_.model.tolerance > level_share_change || start_only || settled_ ||
            enough > (1.0 - same_level) * rate || cycles >= n_.model.max_cycles) {
            return Verdict::periodic;
        }
        settled_ = true;
        return change_steps(enough, onward_);
    }
    const double allowed = std::max(largest_error, n_.model.tolerance);
    if (cycles >= n_.model.max_cycles && periodic(allowed) && known_to() < allowed) {
        return Verdict::periodic;
    }
    if (cycles >= last_cycle(n_.model) || (starved() && cycles >= last_starved_cycle())) {
        return Verdict::exhausted;
    }
    state = onward_;
    return Verdict::again;
}

/// The next cycle begins at `next` with steps for `rate`; what was learned on others is forgotten.
PeriodicIteration::Verdict PeriodicIteration::change_steps(double rate, std::vector<double> next) {
    wanted_rate = rate;
    anderson_.reset();
    estimate_.forget();
    state = std::move(next);
    return Verdict::new_steps;
}

bool PeriodicIteration::periodic(double error) const {
    if (start_only) {
        return balances_.periodic_residual < error &&
               balances_.flow_balance < flow_tolerance(error, flows_.stored_cycles);
    }
    return share_error_ < error &&
           balances_.flow_balance < flow_tolerance(error, flows_.stored_cycles);
}

std::optional<double> PeriodicIteration::wanted_transport() const {
    if (start_only) {
        return std::nullopt;
    }
    const int first = warm_ ? 0 : plain_cycles;
    if (!transport_) {
        return cycles >= first ? std::optional(kept_first) : std::nullopt;
    }
    const bool again = cycles > first && (cycles - first) % carried_every == 0;
    return again ? std::optional(kept_later) : std::nullopt;
}

void PeriodicIteration::take_transport(std::shared_ptr<const PassiveTransport> transport) {
    if (transport && transport->known()) {
        transport_ = std::move(transport);
    }
}

bool PeriodicIteration::restart(std::vector<double> start, double rate, double observed_rate) {
    // A rate observed shortly before the loss may belong to it.
    constexpr double least = 1.5;
    constexpr double most = 2.5;
    state = std::move(start);
    anderson_.reset();
    warm_ = false;
    wanted_rate =
        step_rate_level(std::clamp(rate_margin * observed_rate, least * rate, most * rate));
    return retries_++ < max_retries;
}

bool PeriodicIteration::last_retry() const {
    return retries_ >= max_retries;
}

bool PeriodicIteration::near_the_end() const {
    // An accelerated cycle seldom gains more than this.
    constexpr double usual_gain = 12.0;
    return cycles > 0 ? share_error_ < usual_gain * n_.model.tolerance : expects_;
}

void PeriodicIteration::report(PointResult& result) const {
    result.cycles = balances_.cycles;
    result.periodic_residual = balances_.periodic_residual;
    result.share_error = std::isfinite(share_error_) ? known_to() : 0.0;
    result.mass_balance = balances_.mass_balance;
    result.energy_balance = balances_.energy_balance;
    result.fresh_air_balance = balances_.fresh_air_balance;
    result.flow_balance = balances_.flow_balance;
}

/// An intake that is filled with burned gas and gets next to no air comes to rest over as many
/// cycles as it holds fillings, at a state that no engine runs in.
bool PeriodicIteration::starved() const {
    return flows_.drawn < least_efficiency && trapped_ < least_efficiency;
}

/// One that is near goes on for twice as many cycles.
int PeriodicIteration::last_starved_cycle() const {
    constexpr double near = 0.1;  // of a share
    return least_error_ < near ? 2 * n_.model.max_cycles : n_.model.max_cycles;
}

std::string PeriodicIteration::why_not() const {
    PLENAIR_EXPECT(verdict_ == Verdict::exhausted);
    if (starved() && cycles < last_cycle(n_.model)) {
        return not_running(n_, cycles, flows_.drawn);
    }
    return not_periodic(n_, balances_, share_error_, estimate_);
}

std::string PeriodicIteration::caution() const {
    return share_error_ < n_.model.tolerance ? ""
                                             : known_only_to(n_, balances_, known_to(), estimate_);
}

/// Error of a share and, where that is not known as well as it should, of the air: what still
/// fills the intake with fresh air, or burned gas, is the difference of two air flows.
double PeriodicIteration::known_to() const {
    return share_error_ < n_.model.tolerance ? share_error_
                                             : std::max(share_error_, flows_.fresh_difference);
}

bool PeriodicIteration::healthy() const {
    return physical(n_, state);
}

/// Places beyond the ends of a chain are no gas: what the straight loop over all faces made of
/// them, which between two chains may be no number, goes no further.
void PeriodicIteration::keep_ghosts() {
    const Layout& at = n_.layout;
    for (const int block : {at.rho(), at.rho_u(), at.rho_e(), at.rho_y()}) {
        int next = 0;
        const auto keep_to = [&](int end) {
            for (; next < end; ++next) {
                const auto i = static_cast<std::size_t>(block + next);
                state[i] = start_[i];
            }
        };
        for (const Chain& chain : n_.chains) {
            keep_to(chain.first);
            next = chain.first + chain.count;
        }
        keep_to(at.cells);
    }
}

double PeriodicIteration::residual() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < scale_.size(); ++i) {
        const double d = (state[i] - start_[i]) / scale_[i];
        sum += d * d;
    }
    return std::sqrt(sum / static_cast<double>(scale_.size()));
}

/// The image of the last cycle with what its still air will yet do.
std::vector<double> PeriodicIteration::extrapolated_still_air() {
    Eigen::VectorXd image(static_cast<Eigen::Index>(scale_.size()));
    for (std::size_t i = 0; i < scale_.size(); ++i) {
        image[static_cast<Eigen::Index>(i)] = state[i] / scale_[i];
    }
    if (transport_) {
        add_still_air(n_, *transport_, start_, state, scale_, image);
    }
    std::vector<double> extrapolated = state;
    for (std::size_t i = 0; i < scale_.size(); ++i) {
        extrapolated[i] = image[static_cast<Eigen::Index>(i)] * scale_[i];
    }
    return physical(n_, extrapolated) ? extrapolated : state;
}

/// Where the next cycle begins, and what the shares will be there.
void PeriodicIteration::accelerate(const std::vector<double>& trapped) {
    const auto size = static_cast<Eigen::Index>(scale_.size());
    Eigen::VectorXd x(size);
    Eigen::VectorXd g(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        x[i] = start_[j] / scale_[j];
        g[i] = state[j] / scale_[j];
    }
    if (transport_) {
        add_still_air(n_, *transport_, start_, state, scale_, g);
    }
    const Eigen::VectorXd masses = Eigen::Map<const Eigen::VectorXd>(
        trapped.data(), static_cast<Eigen::Index>(trapped.size()));
    estimate_.note_still_air(n_, start_, state, x, g);
    onward_ = state;
    if (balances_.periodic_residual >= anderson_threshold || (!warm_ && cycles <= plain_cycles)) {
        note_share_error(masses, masses);
        return;
    }
    const auto next = anderson_.next(x, g, masses);
    note_share_error(masses, next.beside);
    if (!sensible(next.state, g)) {
        anderson_.reset();  // the image itself where the combination makes no sense
        return;
    }
    for (Eigen::Index i = 0; i < size; ++i) {
        const auto j = static_cast<std::size_t>(i);
        onward_[j] = next.state[i] * scale_[j];
    }
    // A combination of fresh masses near zero may fall below it, where a cycle would never bring
    // them. No ceiling: the scheme's own periodic states have fresh fractions up to 1 + 1e-4.
    const Layout& at = n_.layout;
    const auto floor = [&](int first, int count) {
        for (int i = first; i < first + count; ++i) {
            double& fresh = onward_[static_cast<std::size_t>(i)];
            fresh = std::max(fresh, 0.0);
        }
    };
    floor(at.rho_y(), at.cells);
    floor(at.cylinder_fresh(), at.cylinders);
}

/// Whether a combination can stand for an image: densities and energies keep their sign.
bool PeriodicIteration::sensible(const Eigen::VectorXd& combined,
                                 const Eigen::VectorXd& image) const {
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

void PeriodicIteration::note_share_error(const Eigen::VectorXd& trapped,
                                         const Eigen::VectorXd& forecast) {
    estimate_.note_trapped(trapped, forecast);
    // Without knowledge of the still air the estimate would be no better than the residual.
    share_error_ = transport_ ? estimate_.value() : std::numeric_limits<double>::infinity();
    least_error_ = std::min(least_error_, share_error_);
}

}  // namespace plenair
