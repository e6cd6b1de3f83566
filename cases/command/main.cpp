#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <exception>
#include <string>
#include <string_view>

#include "cases/command/interrupt.hpp"
#include "cases/command/request.hpp"
#include "cases/study/error.hpp"
#include "cases/study/version.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

std::string missing_equals_sign(const std::string& text) {
    const auto sign = text.find('=');
    const bool usable = sign != std::string::npos && sign > 0;
    return usable ? "" : "'" + text + "' is not key=value; write for example \"slot.width=6 mm\"";
}

void add_common_options(CLI::App& verb, Request& request) {
    verb.add_option("case", request.case_path, "Case file (TOML)")->type_name("CASE");
    verb.add_option("--set", request.sets, "Override one case entry; may be repeated")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false)
        ->check(CLI::Validator(missing_equals_sign, ""));
    verb.add_flag("--json", request.json, "Print JSON on standard output and nothing else there");
    verb.add_option("--threads", request.threads, "Use at most N threads (default: all cores)")
        ->type_name("N")
        ->check(CLI::Range(1, 1024));
    verb.add_flag("--quiet", request.quiet, "No table, no progress, no warnings; errors only");
}

void add_result_files(CLI::App& verb, Request& request) {
    verb.add_option("-o,--output", request.output, "Write the result: .h5 (HDF5), .json or .csv")
        ->type_name("FILE");
    verb.add_option("--csv", request.csv, "Write the table as CSV as well")->type_name("FILE");
}

CLI::App* add_check(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("check", "Read a case, print what follows from its dimensions");
    add_common_options(*verb, request);
    verb->add_option("-o,--output", request.output, "Write the numbers as .json")
        ->type_name("FILE");
    verb->add_flag("--schema", request.schema, "Print the JSON Schema of case files and stop");
    verb->footer(
        "Examples:\n"
        "  plenair check cases/shipped/hill-climb-four/case.toml\n"
        "  plenair check --schema > case.schema.json");
    return verb;
}

CLI::App* add_solve(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("solve", "Each cylinder's share of air at every point");
    add_common_options(*verb, request);
    add_result_files(*verb, request);
    verb->add_flag("--traces", request.traces, "Keep pressures and flows against crank angle");
    verb->add_option(
            "--bands",
            request.bands,
            "Bands from the model's coefficients (default: off; ten more solutions a point)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    verb->footer(
        "Examples:\n"
        "  plenair solve cases/shipped/hill-climb-four/case.toml -o result.h5\n"
        "  plenair solve case.toml --set \"slot.width=8 mm\" --bands on --json");
    return verb;
}

CLI::App* add_bench(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("bench", "The parts on a flow bench at a depression");
    add_common_options(*verb, request);
    add_result_files(*verb, request);
    verb->footer(
        "Examples:\n"
        "  plenair bench cases/shipped/hill-climb-four/case.toml\n"
        "  plenair bench case.toml --set \"bench.depression=28 inH2O\" --csv bench.csv");
    return verb;
}

Status fail(Status status, const std::string& message) {
    fmt::print(stderr, "{}{}", message, message.ends_with('\n') ? "" : "\n");
    return status;
}

bool unknown_verb(std::string_view word) {
    return !word.starts_with('-') && word != "check" && word != "solve" && word != "bench";
}

Status run(int argc, char** argv) {
    CLI::App app("Each cylinder's share of air, from a description of the intake.", "plenair");
    app.set_version_flag("--version", fmt::format("plenair {} ({})", version(), git_sha()));
    app.require_subcommand(1);
    app.footer(
        "Example: plenair solve cases/shipped/hill-climb-four/case.toml\n"
        "Exit status: 0 done, 2 bad input or usage, 3 did not converge, 4 cannot read or write,\n"
        "5 internal fault.");
    app.get_formatter()->label("SUBCOMMAND", "VERB");
    Request request;
    const auto* check_verb = add_check(app, request);
    const auto* solve_verb = add_solve(app, request);
    const auto* bench_verb = add_bench(app, request);
    for (auto* verb : app.get_subcommands({})) {
        verb->group("Verbs");
    }
    if (argc < 2 || unknown_verb(argv[1])) {
        const auto fault = argc < 2 ? "no verb given" : fmt::format("unknown verb '{}'", argv[1]);
        return fail(Status::bad_input,
                    fault + "; the verbs are check, solve and bench, see plenair --help");
    }
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? Status::done : Status::bad_input;
    }
    if (request.case_path.empty() && !request.schema) {
        return fail(Status::bad_input, "no case file given; run with --help for an example");
    }
    if (check_verb->parsed()) {
        return run_check(request);
    }
    if (solve_verb->parsed()) {
        return run_solve(request);
    }
    if (bench_verb->parsed()) {
        return run_bench(request);
    }
    return fail(Status::internal_fault, "internal fault: a verb without a function");
}

/// Errors become one text on standard error and a status; nothing else in the program does this.
Status run_and_report(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const InputError& error) {
        return fail(Status::bad_input, error.what());
    } catch (const ReadError& error) {
        return fail(Status::no_access, error.what());
    } catch (const WriteError& error) {
        return fail(Status::no_access, error.what());
    } catch (const std::exception& error) {
        return fail(
            Status::internal_fault,
            fmt::format("internal fault: {}; please report it with the case file", error.what()));
    }
}

}  // namespace

}  // namespace plenair::command

int main(int argc, char** argv) {
    plenair::command::stop_cleanly_on_interrupt();
    return static_cast<int>(plenair::command::run_and_report(argc, argv));
}
