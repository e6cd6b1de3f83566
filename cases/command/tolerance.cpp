#include "cases/file/tolerance.hpp"

#include <fmt/format.h>

#include "cases/command/deciding.hpp"
#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/report/tolerance.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

CLI::App* add_tolerance(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("tolerance", "Odds that made parts meet the target, and why");
    add_common_options(*verb, request);
    add_name(*verb, "-o,--output", request.output, "Write the answer: .json or .csv")
        ->type_name("FILE");
    add_name(*verb, "--csv", request.csv, "Write the table of inputs as CSV as well")
        ->type_name("FILE.csv");
    verb->footer(
        "Limits are those of [tolerance], of the drawing ([slot]), or ISO 2768-1 m.\n"
        "Examples:\n"
        "  plenair tolerance cases/shipped/hill-climb-four/case.toml\n"
        "  plenair tolerance case.toml --set \"tolerance.slot.width=0.1 mm\" -o odds.json");
    return verb;
}

Status run_tolerance(const Request& request) {
    const TolerancePlan plan = read_tolerance(request.case_path, all_sets(request));
    if (!request.output.empty() && file_kind(request.output) == FileKind::hdf5) {
        throw InputError({fmt::format("-o {}: tolerance writes .json or .csv", request.output)});
    }
    check_outputs(request);
    if (!request.quiet) {
        print_warnings(plan.base.warnings);
    }
    const StopAtLeisure leisure;
    ProgressLine progress(!request.quiet, "parts");
    ToleranceOptions options;
    options.threads = static_cast<int>(request.threads);
    options.stop = &stop_wanted();
    options.progress = [&progress](int done, int total) { progress(done, total); };
    ToleranceResult result;
    try {
        result = tolerance(plan, options);
    } catch (const InputError&) {
        // What a stop left without a result is no fault of the case.
        if (!stop_wanted().load()) {
            throw;
        }
    }
    progress.clear();
    if (stop_wanted().load()) {
        end_by_interrupt("no answer was written");
    }
    deliver(request, result);
    return Status::done;
}

}  // namespace plenair::command
