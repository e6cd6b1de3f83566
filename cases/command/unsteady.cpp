#include "cases/file/unsteady.hpp"

#include "cases/command/deciding.hpp"
#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/report/unsteady.hpp"

/// Rigs in time: transient and response.
namespace plenair::command {

CLI::App* add_transient(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("transient", "A rig over time, as [transient] says");
    add_case_options(*verb, request);
    verb->add_flag("--json", request.json, "Print the result as JSON");
    add_answer_files(*verb, request, "the history", "the history");
    verb->footer(
        "Pressures, temperatures and flows of vessels that fill or empty, of pipes that start, of\n"
        "throttles that open, or under a sine.\n"
        "Example: plenair transient rig.toml --csv history.csv");
    return verb;
}

CLI::App* add_response(CLI::App& app, Request& request) {
    auto* verb =
        app.add_subcommand("response", "How a rig answers a swing of pressure, over frequency");
    add_case_options(*verb, request);
    verb->add_flag("--json", request.json, "Print the result as JSON");
    add_answer_files(*verb, request, "the answer", "amplitudes and phases");
    verb->footer("Example: plenair response rig.toml --csv response.csv");
    return verb;
}

namespace {

/// Runs a study of a rig that says how far it is and may be stopped.
template <class Result, class Plan>
Status follow(const Request& request,
              const Plan& plan,
              Result (*study)(const Plan&, const Watcher&),
              const char* lost) {
    if (!request.quiet) {
        print_warnings(plan.base.warnings);
    }
    stop_at_leisure();
    ProgressLine progress(!request.quiet, "times");
    Watcher watcher;
    watcher.stop = &stop_wanted();
    watcher.progress = [&progress](double done, double total) { progress(done, total); };
    const Result result = study(plan, watcher);
    progress.clear();
    if (stop_wanted().load()) {
        end_by_interrupt(lost);
    }
    deliver(request, result);
    return result.rig.finished ? Status::done : Status::not_converged;
}

}  // namespace

Status run_transient(const Request& request) {
    const TransientPlan plan = read_transient(request.case_path, all_sets(request));
    check_answer_files(request, "transient");
    return follow(request, plan, transient, "no history was written");
}

Status run_response(const Request& request) {
    const ResponsePlan plan = read_response(request.case_path, all_sets(request));
    check_answer_files(request, "response");
    return follow(request, plan, response, "no answer was written");
}

}  // namespace plenair::command
