#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/sweep_output.hpp"
#include "cases/command/verbs.hpp"

namespace plenair::command {

CLI::App* add_gather(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("gather", "Join the finished parts of a sweep");
    add_name(*verb, "folder", request.folder, "Folder of the sweep")
        ->type_name("FOLDER")
        ->required();
    add_name(*verb, "-o,--output", request.output, "Result (default: FOLDER/result.h5)")
        ->type_name("FILE.h5");
    add_csv_option(*verb, request, "Write a row per variant and point as CSV as well");
    verb->add_flag("--json", request.json, "Print the summary as JSON on standard output");
    verb->add_flag("--quiet", request.quiet, "No summary; errors only");
    verb->footer("Example:\n  plenair gather /shared/widths --csv widths.csv");
    return verb;
}

Status run_gather(const Request& request) {
    const SweepStore store(request.folder);
    check_stored_case(store);
    check_sweep_outputs(request);
    SweepProgress progress;
    progress.blocks_found = store.info().blocks() - store.missing().size();
    return write_sweep(request, store, progress);
}

}  // namespace plenair::command
