#include "cases/file/choose.hpp"

#include "cases/command/deciding.hpp"
#include "cases/command/deliver.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/report/choose.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

namespace plenair::command {

CLI::App* add_choose(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("choose", "Dimensions that meet the goal of [choose]");
    add_common_options(*verb, request);
    verb->add_option("--bands",
                     request.bands,
                     "Bands of the chosen design from the model's coefficients (default: on)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    add_number(*verb,
               "--odds",
               request.odds,
               {50, 99.9, "%", "--odds 95"},
               "Make best what this many % of made parts will do, and hold limits for them")
        ->type_name("PERCENT");
    add_answer_files(*verb, request, "the answer", "the table of numbers");
    verb->footer(
        "The case file says in [choose.vary] what may change, in [[choose.limit]] what must hold,\n"
        "and in choose.make_best what to make best; docs/how-to/choose.md says more.\n"
        "Where no design meets every limit the answer is the nearest one, and says so.\n"
        "Examples:\n"
        "  plenair choose case.toml --odds 95\n"
        "  plenair choose case.toml -o choice.json\n"
        "  plenair choose case.toml --set \"choose.limit.1.most=4 kPa\"");
    return verb;
}

Status run_choose(const Request& request) {
    const ChoosePlan plan = read_choose(request.case_path, all_sets(request));
    check_answer_files(request, "choose");
    if (!request.quiet) {
        print_warnings(plan.base.warnings);
    }
    stop_at_leisure();
    ProgressLine progress(!request.quiet, "designs");
    ChooseOptions options;
    options.threads = static_cast<int>(request.threads);
    options.bands = request.bands != "off";
    options.odds = geometry::from_unit(request.odds, "%");
    options.stop = &stop_wanted();
    const ChooseResult result = answer_of(progress, [&] { return choose(plan, options); });
    deliver(request, result);
    return result.converged() ? Status::done : Status::not_converged;
}

}  // namespace plenair::command
