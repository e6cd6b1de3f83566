#include "solver/march/cycle.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/march/iterate.hpp"
#include "solver/march/report_cycle.hpp"
#include "solver/network/builder.hpp"

namespace plenair {

std::string not_periodic(int cycles) {
    return "not periodic after " + std::to_string(cycles) +
           " cycles; raise model.max_cycles or model.tolerance";
}

std::string not_physical(int cycle) {
    return "the march left physical states in cycle " + std::to_string(cycle) +
           "; lower model.courant or check the point's pressures";
}

PointResult solve_point(const geometry::Intake& intake,
                        const geometry::Engine& engine,
                        const OperatingPoint& point,
                        const Model& model,
                        const CycleOptions& options) {
    Network n = build_engine(intake, engine, point, model);
    PointResult result;
    fill_point(point, result);
    n.crank = make_crank_table(engine, point, first_table_step(point));
    const std::vector<double> start = initial_state(n);
    double rate = rate_rung(first_rate * fastest_rate(n, start));
    std::vector<int> trapped;
    const auto make_table = [&] {
        n.crank = make_crank_table(engine, point, 1.0 / rate);
        trapped = trapped_steps(engine, point, n.crank);
    };
    make_table();
    const bool warm = options.start != nullptr && options.start->size() == start.size();
    Iterate iterate(n, warm ? *options.start : start, warm);
    while (!result.converged) {
        CycleMap map(n);
        iterate.begin_cycle();
        if (!map.march(iterate.state, trapped)) {
            // The first transient was faster than the guess: begin again with a shorter step.
            if (!iterate.restart(start, rate)) {
                result.failure = not_physical(iterate.cycles + 1);
                return result;
            }
            rate = iterate.wanted_rate;
            make_table();
            continue;
        }
        const auto verdict = iterate.end_cycle(map.largest_rate, rate, options.min_cycles);
        iterate.report(result);
        if (verdict == Iterate::Verdict::faster) {
            rate = iterate.wanted_rate;
            make_table();
        } else if (verdict == Iterate::Verdict::exhausted) {
            result.failure = not_periodic(iterate.cycles);
            return result;
        } else if (verdict == Iterate::Verdict::periodic) {
            result.converged = true;
        }
    }
    if (options.final_state != nullptr) {
        *options.final_state = iterate.state;
    }
    ReportCycle report(n, engine, point);
    report.fill(iterate.state, trapped, options.traces, result);
    return result;
}

}  // namespace plenair
