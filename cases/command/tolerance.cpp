#include "cases/file/tolerance.hpp"

#include "cases/command/deciding.hpp"
#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/measured.hpp"
#include "cases/report/tolerance.hpp"
#include "cases/study/part_verdict.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

CLI::App* add_tolerance(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("tolerance", "Odds that made parts meet the target, and why");
    add_common_options(*verb, request);
    add_name(*verb,
             "--measured",
             request.measured,
             "Measured file: gauged sizes of one made part, for one verdict on it")
        ->type_name("FILE");
    add_answer_files(*verb, request, "the answer", "the table of inputs");
    verb->footer(
        "Limits are those of [tolerance], of the drawing ([slot]), or ISO 2768-1 m.\n"
        "Examples:\n"
        "  plenair tolerance cases/shipped/hill-climb-four/case.toml\n"
        "  plenair tolerance cases/shipped/hill-climb-four/case.toml \\\n"
        "      --measured cases/shipped/hill-climb-four/measured.toml\n"
        "  plenair tolerance case.toml --set \"tolerance.slot.width=0.1 mm\" -o odds.json");
    return verb;
}

namespace {

/// The part that was gauged, with its verdict before all else.
ToleranceResult one_part(const TolerancePlan& drawn,
                         const Request& request,
                         const ToleranceOptions& options) {
    const Measured measured = read_measured(request.measured, drawn.base);
    if (measured.gauges.empty()) {
        throw InputError({request.measured +
                          ": no [[gauge]]: nothing is known of this part; write its sizes there"});
    }
    if (!request.quiet) {
        print_warnings(measured.warnings);
    }
    const TolerancePlan found = as_found(drawn, measured);
    ToleranceResult result = tolerance(found, options);
    if (!stop_wanted().load()) {
        assess_part(drawn, found, measured, options, result);
    }
    return result;
}

}  // namespace

Status run_tolerance(const Request& request) {
    const TolerancePlan drawn = read_tolerance(request.case_path, all_sets(request));
    check_answer_files(request, "tolerance");
    if (!request.quiet) {
        print_warnings(drawn.base.warnings);
    }
    stop_at_leisure();
    ProgressLine progress(!request.quiet, "parts");
    ToleranceOptions options;
    options.threads = static_cast<int>(request.threads);
    options.stop = &stop_wanted();
    options.progress = [&progress](int done, int total) { progress(done, total); };
    const ToleranceResult result = answer_of(progress, [&] {
        return request.measured.empty() ? tolerance(drawn, options)
                                        : one_part(drawn, request, options);
    });
    deliver(request, result);
    return Status::done;
}

}  // namespace plenair::command
