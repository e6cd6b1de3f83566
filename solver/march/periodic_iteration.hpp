#pragma once

#include "solver/march/anderson.hpp"
#include "solver/march/balances.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/passive_transport.hpp"
#include "solver/march/result.hpp"
#include "solver/march/share_error.hpp"
#include "solver/march/start.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"

#include <limits>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// What the distance of two levels of step_rate_level changes in a share: to a finer tolerance a
/// point must take the steps that its own cycle asks for.
inline constexpr double level_share_change = 5e-6;

/// Steps of several points can be shared where their rates stand on the same level: the smallest
/// 1.04^k that is not below `rate` [1/s].
[[nodiscard]] double step_rate_level(double rate);

/// Fastest wave of a running engine, for its first table of steps [1/s]: a tenth above that of
/// still gas in chambers; in runners the stroke's volume in a quarter of a cycle comes on top, half
/// as much again at its peak.
/// @param at_rest  state of gas at rest in `network`
[[nodiscard]] double expected_rate(const Network& network,
                                   const std::vector<double>& at_rest,
                                   const OperatingPoint& point);

/// Step of a table that is good for the initial state alone [s].
[[nodiscard]] inline double first_table_step(const OperatingPoint& point) {
    return 4.0 * std::numbers::pi / point.speed / 90.0;
}

/// One operating point on its way to a periodic state: the state, its history for acceleration, the
/// balances of the last cycle. Knows nothing of how a cycle is marched.
class PeriodicIteration final {
public:
    /// From gas that knows nothing of the answer.
    PeriodicIteration(const Network& network, std::vector<double> at_rest);
    /// From a state near the answer. Where it says what it should trap, its first cycle may be its
    /// last. @pre its state is one of the network
    PeriodicIteration(const Network& network, Start start);

    /// Where one more cycle would begin, for others to begin from.
    /// @pre the last verdict was `periodic`
    [[nodiscard]] Start end() const;

    /// Before a cycle: remembers where it began and sets the cycle integrals to zero.
    void begin_cycle();

    enum class Verdict {
        again,  ///< march one more cycle from `state`
        new_steps,  ///< as before, but with steps for `wanted_rate`, other ones
        periodic,  ///< done
        exhausted  ///< too many cycles
    };
    /// After a cycle that ended in `state` with `largest_rate` under steps made for `rate` and
    /// `trapped` fresh mass in each cylinder [kg]: residual, balances, estimate of the shares'
    /// error, and where to go on from.
    [[nodiscard]] Verdict end_cycle(double largest_rate,
                                    double rate,
                                    const std::vector<double>& trapped,
                                    int min_cycles);

    /// Whether the next cycle shall carry the transport of its flow, and how much of it is then to
    /// be kept (PassiveTransport::end).
    [[nodiscard]] std::optional<double> wanted_transport() const;
    /// Of this intake, or of one like it on the same cells; one that is not known changes nothing.
    void take_transport(std::shared_ptr<const PassiveTransport> transport);

    /// After a cycle of steps for `rate` that left physical states: begins again with shorter ones,
    /// for the largest `observed_rate` until then [1/s] as far as that is believed; false after too
    /// many times.
    [[nodiscard]] bool restart(std::vector<double> start, double rate, double observed_rate);
    /// Whether restart() will not be granted again.
    [[nodiscard]] bool last_retry() const;

    /// False where a density, a pressure or a cylinder is not positive and finite.
    [[nodiscard]] bool healthy() const;
    /// Whether the next cycle may well be the last.
    [[nodiscard]] bool near_the_end() const;
    /// Estimated error of a share after the last cycle, over an even one; infinite where unknown.
    [[nodiscard]] double share_error() const { return share_error_; }
    /// Residual and balances of the last cycle.
    void report(PointResult& result) const;
    /// Why it is not periodic, and what to change: one sentence. @pre the last verdict was
    /// `exhausted`
    [[nodiscard]] std::string why_not() const;
    /// What to know of a result whose estimated error is above the tolerance; empty below it.
    [[nodiscard]] std::string caution() const;

    std::vector<double> state;
    double wanted_rate = 0;
    int cycles = 0;
    /// Only a start for others: done below a residual of model.tolerance, whatever its shares.
    bool start_only = false;

private:
    [[nodiscard]] Verdict judged(double largest_rate,
                                 double rate,
                                 const std::vector<double>& trapped,
                                 int min_cycles);
    void note_share_error(const Eigen::VectorXd& trapped, const Eigen::VectorXd& forecast);
    [[nodiscard]] double residual() const;
    [[nodiscard]] bool periodic(double error) const;
    [[nodiscard]] bool starved() const;
    [[nodiscard]] int last_starved_cycle() const;
    [[nodiscard]] double known_to() const;
    void keep_ghosts();
    Verdict change_steps(double rate, std::vector<double> next);
    [[nodiscard]] std::vector<double> extrapolated_still_air();
    void accelerate(const std::vector<double>& trapped);
    [[nodiscard]] bool sensible(const Eigen::VectorXd& combined,
                                const Eigen::VectorXd& image) const;

    const Network& n_;
    Anderson anderson_;
    std::vector<double> scale_, start_, onward_;
    Stored before_;
    Verdict verdict_ = Verdict::again;  ///< on the last cycle
    PointResult balances_;
    bool warm_ = false;
    bool expects_ = false;  ///< whether its start said what it should trap
    int start_age_ = 0;  ///< cycles that its start took
    double first_rate_ = 0;  ///< of its first cycle [1/s]
    bool settled_ = false;  ///< whether it went back to the steps that its own cycle needs
    int lengthened_ = 0;  ///< times that it went back from steps that a transient asked for
    double last_residual_ = 0;
    int retries_ = 0;
    std::shared_ptr<const PassiveTransport> transport_;
    ShareError estimate_;
    double share_error_ = std::numeric_limits<double>::infinity();
    double least_error_ = std::numeric_limits<double>::infinity();  ///< of all cycles
    CycleFlows flows_;  ///< of the last cycle
    double trapped_ = 0;  ///< fresh gas in the cylinders over what the pistons displace
};

}  // namespace plenair
