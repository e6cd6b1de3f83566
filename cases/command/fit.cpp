#include "cases/study/fit.hpp"
#include "cases/command/formats.hpp"

#include <fmt/format.h>

#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/fitted_case.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/report/fit.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

bool writes_case(const Request& request) {
    return request.output.ends_with(".toml");
}

void check_output(const Request& request) {
    if (request.output.empty()) {
        return;
    }
    if (!writes_case(request) &&
        file_kind(request.output, "use .toml or .json, for example -o fitted.toml") !=
            FileKind::json) {
        throw InputError({fmt::format(
            "-o {}: fit writes the fitted case as .toml or its result as .json; use a name that "
            "ends so",
            request.output)});
    }
    refuse_unwritable(request.output);
}

}  // namespace

CLI::App* add_fit(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand(
        "fit", "Learn from readings of gauges, flow bench and engine; find what is at fault");
    add_common_options(*verb, request);
    add_name(*verb, "--measured", request.measured, "Measured file of the case")->type_name("FILE");
    verb->add_option("--entry",
                     request.entries,
                     "Fit this entry alone, without a prior, all others as in the case; may be "
                     "repeated")
        ->type_name("KEY")
        ->allow_extra_args(false);
    add_name(*verb,
             "-o,--output",
             request.output,
             "Write the case with what was fitted (.toml), or the result (.json)")
        ->type_name("FILE");
    add_name(*verb,
             "--blank",
             request.blank,
             "Write an empty measured file to fill in, never over another one, and stop")
        ->type_name("FILE.toml");
    verb->footer(
        "Examples:\n"
        "  plenair fit case.toml --blank measured.toml\n"
        "  plenair fit cases/shipped/hill-climb-four/case.toml \\\n"
        "      --measured cases/shipped/hill-climb-four/measured.toml\n"
        "  plenair fit case.toml --measured measured.toml -o fitted.toml\n"
        "  plenair fit case.toml --measured measured.toml --entry slot.edge_radius --json");
    return verb;
}

Status run_fit(const Request& request) {
    const Case c = read_case(request.case_path, all_sets(request));
    if (!request.blank.empty()) {
        refuse_existing_toml(request.blank, "--blank", "measured");
        write_text(request.blank, blank_measured(c));
        return Status::done;
    }
    check_output(request);
    if (request.measured.empty()) {
        throw InputError(
            {"fit: no readings; name the measured file with --measured, or write an "
             "empty one with --blank measured.toml"});
    }
    const Measured measured = read_measured(request.measured, c);
    if (!request.quiet) {
        print_warnings(c.warnings);
        print_warnings(measured.warnings);
    }
    FitOptions options;
    options.entries = request.entries;
    options.threads = static_cast<int>(request.threads);
    const FitResult result = fit(c, measured, options);
    if (!request.output.empty() && (result.converged || !writes_case(request))) {
        write_text(request.output,
                   writes_case(request) ? fitted_case(c, measured, result) : json_text(result));
    }
    if (request.json) {
        print(json_text(result));
    } else if (!request.quiet) {
        print(terminal_text(result, colour_wanted()));
    }
    return result.converged ? Status::done : Status::not_converged;
}

}  // namespace plenair::command
