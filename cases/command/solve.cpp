#include "cases/study/solve.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"

#include <fmt/format.h>

#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/command/watched_solve.hpp"
#include "cases/file/read.hpp"

namespace plenair::command {

CLI::App* add_solve(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("solve", "Each cylinder's share of air at every point");
    add_common_options(*verb, request);
    add_result_files(*verb, request);
    add_point_option(*verb, request);
    verb->add_flag("--traces", request.traces, "Keep pressures and flows against crank angle");
    verb->add_option("--bands",
                     request.bands,
                     "Bands at 95 % (default: on; seventeen more solutions a point)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    verb->add_option("--no-slot",
                     request.no_slot,
                     "Each point without its slot too, to say whether the slot helps (default: on; "
                     "one more solution a point)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    add_causes_option(*verb, request, "off");
    verb->footer(
        "Examples:\n"
        "  plenair solve cases/shipped/hill-climb-four/case.toml -o result.h5\n"
        "  plenair solve case.toml --set \"slot.width=8 mm\" --bands off --json");
    return verb;
}

Status run_solve(const Request& request) {
    const Case c = read_case(request.case_path, all_sets(request));
    check_outputs(request);
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    stop_at_leisure();
    SolveOptions options;
    options.traces = request.traces;
    options.bands = request.bands != "off";
    options.points = request.points;
    options.no_slot = request.no_slot != "off";
    options.reasons = request.causes == "on";
    options.stop = &stop_wanted();
    const SolveResult result = solve_watched(c, request, options);
    const std::size_t done = result.points.size() - result.left_out;
    if (done == 0) {
        end_by_interrupt("no result was written");
    }
    deliver(request, result);
    if (result.left_out > 0) {
        end_by_interrupt(
            fmt::format("{} of {} points are done and kept", done, result.points.size()));
    }
    if (result.converged()) {
        return Status::done;
    }
    for (const auto& point : result.points) {
        if (!point.converged) {
            say(fmt::format(
                "point '{}' did not converge: {}; no shares are given", point.name, point.failure));
        }
    }
    return Status::not_converged;
}

}  // namespace plenair::command
