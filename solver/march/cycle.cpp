#include "solver/march/cycle.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cost.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/march/report_cycle.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/transfer.hpp"

#include <algorithm>
#include <memory>
#include <string>
#include <utility>

namespace plenair {

namespace {

/// One operating point of one network on its way to a periodic state.
class PointMarch final {
public:
    PointMarch(const geometry::Engine& engine,
               const OperatingPoint& point,
               Network network,
               std::vector<StepPlan> plans)
        : n(std::move(network)), engine_(engine), point_(point), plans_(std::move(plans)) {
        n.crank = make_crank_table(engine, point, first_table_step(point));
        at_rest_ = initial_state(n);
        rate_ = step_rate_level(expected_rate(n, at_rest_, point));
        make_table();
    }

    /// True once periodic; `start`: state to begin from; null: still gas. A result that does not
    /// converge has the traces of its last cycle where they are wanted.
    bool run(const Start* start,
             const CycleOptions& options,
             ReportCycle& report,
             PointResult& result);

    Network n;
    // After a run that came to its end.
    std::vector<double> state;  ///< periodic
    Start end;
    bool lost = false;  ///< whether a run left physical states for good
    bool restarted = false;  ///< whether one did so once
    bool first_order_at_jumps = false;  ///< faces keep to their cells at strong jumps
    /// A start that is lost goes on with the steps that it asked for.
    bool takes_observed_rate = false;

private:
    void make_table() {
        StepPlan& plan = plan_;
        if (next_plan_ < plans_.size()) {
            plan = plans_[next_plan_++];
            rate_ = std::max(rate_, point_.speed / plan.longest());
        } else {
            plan = plan_steps(engine_, point_, 1.0 / rate_);
        }
        n.crank = {};  // the old one first: there may be no room for two
        n.crank = make_crank_table(engine_, point_, plan);
        trapped_ = trapped_steps(engine_, point_, n.crank);
    }

    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    std::vector<double> at_rest_;
    std::vector<StepPlan> plans_;  ///< to take before those that the waves ask for
    std::size_t next_plan_ = 0;
    StepPlan plan_;  ///< of the steps it takes
    double rate_ = 0;
    std::vector<int> trapped_;
};

bool PointMarch::run(const Start* start,
                     const CycleOptions& options,
                     ReportCycle& report,
                     PointResult& result) {
    PeriodicIteration iteration =
        start != nullptr ? PeriodicIteration(n, *start) : PeriodicIteration(n, at_rest_);
    std::vector<double> began;
    const auto keep_traces = [&](CycleMap& map) {
        if (options.traces) {
            (void)report.march(map, began, trapped_);
            report.fill_traces(result);
        }
    };
    while (true) {
        CycleMap map(n, first_order_at_jumps);
        iteration.begin_cycle();
        const bool watched = iteration.near_the_end();
        if (!watched || options.traces) {
            began = iteration.state;
        }
        const auto kept = iteration.wanted_transport();
        const auto carried = kept ? std::make_shared<PassiveTransport>(n) : nullptr;
        if (!(watched ? report.march(map, iteration.state, trapped_, carried.get())
                      : map.march(iteration.state, trapped_, nullptr, {}, carried.get()))) {
            // The first transient was faster than the guess: begin again with a shorter step.
            if (!iteration.restart(
                    at_rest_, rate_, takes_observed_rate ? map.largest_rate : rate_)) {
                result.failure = not_physical(n, map.lost, point_.speed, iteration.cycles + 1);
                lost = true;
                keep_traces(map);
                return false;
            }
            rate_ = iteration.wanted_rate;
            restarted = true;
            // Shorter steps are the usual cure and cost nothing of the answer; where they are none,
            // faces too keep to their cells at strong jumps.
            first_order_at_jumps = first_order_at_jumps || iteration.last_retry();
            make_table();
            continue;
        }
        if (carried != nullptr) {
            carried->end(*kept);
            iteration.take_transport(carried);
        }
        const auto verdict =
            iteration.end_cycle(map.largest_rate, rate_, map.trapped, options.min_cycles);
        iteration.report(result);
        if (options.each_cycle) {
            options.each_cycle(iteration.cycles);
        }
        if (verdict == PeriodicIteration::Verdict::new_steps) {
            rate_ = iteration.wanted_rate;
            make_table();
        } else if (verdict == PeriodicIteration::Verdict::exhausted) {
            result.failure = iteration.why_not();
            keep_traces(map);
            return false;
        } else if (verdict == PeriodicIteration::Verdict::periodic) {
            state = iteration.state;
            end = iteration.end();
            end.plan = plan_;
            if (!watched) {  // the same cycle again: lanes report the one that was found periodic
                report.march(map, began, trapped_);
            }
            report.fill(map, iteration.state, result);
            if (first_order_at_jumps) {
                result.notes.emplace_back(
                    "usual faces left physical states: solved with faces of first order where the "
                    "pressure changes by more than 4 % from cell to cell; its shares depend more "
                    "on the cells than usual");
            }
            if (std::string caution = iteration.caution(); !caution.empty()) {
                result.notes.push_back(std::move(caution));
            }
            return true;
        }
    }
}

}  // namespace

PointResult solve_point(const geometry::Intake& intake,
                        const geometry::Engine& engine,
                        const OperatingPoint& point,
                        const Model& model,
                        const CycleOptions& options) {
    PointResult result;
    fill_point(point, result);
    if (const TooCostly refused = too_costly(intake, engine, point, model); !refused.why.empty()) {
        result.failure = "too much to compute: " + refused.why;
        return result;
    }
    PointMarch march(engine, point, build_engine(intake, engine, point, model), options.plans);
    Start given;
    if (options.from != nullptr) {
        given = *options.from;
    } else if (options.start != nullptr) {
        given.state = *options.start;
        given.age = options.start_age;
    }
    const bool fits = given.state.size() == static_cast<std::size_t>(march.n.layout.size());
    ReportCycle report(march.n, engine, point, options.traces);
    result.converged = march.run(fits ? &given : nullptr, options, report, result);
    if (!result.converged && march.restarted && !march.first_order_at_jumps) {
        march.first_order_at_jumps = true;
        result.failure.clear();
        result.converged = march.run(nullptr, options, report, result);
    }
    if (!result.converged && march.lost) {
        // What breaks loose from still gas is softer on coarse cells.
        PointMarch coarse(
            engine, point, build_engine(intake, engine, point, coarse_model(model)), {});
        ReportCycle unused(coarse.n, engine, point, false);
        PointResult ignored;
        CycleOptions start_only;
        start_only.min_cycles = 1;
        if (coarse.run(nullptr, start_only, unused, ignored)) {
            Start start;
            start.state = transfer_state(coarse.n, coarse.state, march.n);
            start.age = ignored.cycles;
            if (!start.state.empty() && physical(march.n, start.state)) {
                result.failure.clear();
                result.converged = march.run(&start, options, report, result);
            }
        }
    }
    if (!result.converged && march.lost) {
        // Short slots and blow-back may ask for steps many times shorter than still gas does.
        march.takes_observed_rate = true;
        march.first_order_at_jumps = false;
        result.failure.clear();
        result.converged = march.run(nullptr, options, report, result);
    }
    if (result.converged) {
        fill_banks(intake, result);
        report.share_losses(result);
    }
    if (result.converged && options.final_state != nullptr) {
        *options.final_state = std::move(march.state);
    }
    if (result.converged && options.end != nullptr) {
        *options.end = std::move(march.end);
    }
    return result;
}

}  // namespace plenair
