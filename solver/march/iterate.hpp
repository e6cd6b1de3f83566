#pragma once

#include "solver/march/anderson.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/point.hpp"
#include "solver/march/result.hpp"
#include "solver/network/network.hpp"

#include <numbers>
#include <vector>

namespace plenair {

/// Steps of several points can be shared where their rates stand on the same rung of a ladder: the
/// smallest 1.04^k that is not below `rate` [1/s].
[[nodiscard]] double rate_rung(double rate);

/// Fastest wave of a running engine over that of still gas, for the first table of steps.
inline constexpr double first_rate = 1.10;

/// Step of a table that is good for the initial state alone [s].
[[nodiscard]] inline double first_table_step(const OperatingPoint& point) {
    return 4.0 * std::numbers::pi / point.speed / 90.0;
}

/// One operating point on its way to a periodic state: the state, its history for acceleration, the
/// balances of the last cycle. Knows nothing of how a cycle is marched.
class Iterate final {
public:
    /// `start` is the state to begin from; a `warm` one is near the answer already.
    Iterate(const Network& network, std::vector<double> start, bool warm);

    /// Before a cycle: remembers where it began and empties the ledger.
    void begin_cycle();

    enum class Verdict {
        again,  ///< march one more cycle from `state`
        faster,  ///< as before, but with steps for `wanted_rate`
        periodic,  ///< done
        exhausted  ///< too many cycles
    };
    /// After a cycle that ended in `state` with `largest_rate` seen under steps made for `rate`:
    /// residual, balances, and where to go on from.
    [[nodiscard]] Verdict end_cycle(double largest_rate, double rate, int min_cycles);

    /// After a cycle that left physical states: begins again with a shorter step; false after too
    /// many times.
    [[nodiscard]] bool restart(std::vector<double> start, double rate);

    /// False where a density, a pressure or a cylinder is not positive and finite.
    [[nodiscard]] bool healthy() const;
    /// Residual at which it counts as periodic: that of the model, and less for an intake that
    /// forgets slowly (chambers behind a nearly closed throttle), of which a small residual may
    /// still be far from the answer: by the square of the cycles it takes over the usual ones, down
    /// to a certified 1e-5.
    [[nodiscard]] double tolerance() const;
    /// Cycles that it, or what it began from, took.
    [[nodiscard]] int age() const;
    /// Whether the next cycle may well be the last.
    [[nodiscard]] bool near_the_end() const;
    /// Where one more cycle would begin: nearer to the periodic state than the last image is, for
    /// others to begin from. @pre the last verdict was `periodic`; once
    [[nodiscard]] std::vector<double> next();
    /// Residual and balances of the last cycle.
    void report(PointResult& result) const;

    std::vector<double> state;
    double wanted_rate = 0;
    int cycles = 0;
    int start_age = 0;  ///< cycles that its start took

private:
    void note_balances();
    [[nodiscard]] double residual() const;
    [[nodiscard]] bool sensible(const Eigen::VectorXd& combined,
                                const Eigen::VectorXd& image) const;

    const Network& n_;
    Anderson anderson_;
    std::vector<double> scale_, start_;
    Stored before_;
    PointResult balances_;
    bool warm_ = false;
    double last_residual_ = 0;
    int retries_ = 0;
};

}  // namespace plenair
