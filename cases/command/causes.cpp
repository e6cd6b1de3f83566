#include "cases/study/causes.hpp"

#include "cases/command/deciding.hpp"
#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/read.hpp"
#include "cases/report/causes.hpp"

namespace plenair::command {

CLI::App* add_causes(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("causes", "Where each cylinder's bias comes from");
    add_common_options(*verb, request);
    add_point_option(*verb, request);
    add_answer_files(*verb, request, "the parts", "the parts");
    verb->footer(
        "Thirty-two solutions a point: every combination of five switches of the model.\n"
        "Example: plenair causes cases/shipped/hill-climb-four/case.toml --point A2");
    return verb;
}

Status run_causes(const Request& request) {
    const Case c = read_case(request.case_path, all_sets(request));
    check_answer_files(request, "causes");
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    stop_at_leisure();
    ProgressLine progress(!request.quiet, "solutions");
    CausesOptions options;
    options.threads = static_cast<int>(request.threads);
    options.points = request.points;
    options.stop = &stop_wanted();
    options.progress = [&progress](int done, int total) { progress(done, total); };
    const CausesResult result = answer_of(progress, [&] { return causes(c, options); });
    deliver(request, result);
    return result.converged() ? Status::done : Status::not_converged;
}

}  // namespace plenair::command
