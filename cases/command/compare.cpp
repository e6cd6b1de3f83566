#include "cases/study/compare.hpp"
#include "cases/command/formats.hpp"

#include <fmt/format.h>

#include <utility>

#include "cases/command/deliver.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/command/watched_solve.hpp"
#include "cases/file/read.hpp"
#include "cases/file/vary.hpp"
#include "cases/report/compare.hpp"
#include "cases/report/difference.hpp"
#include "cases/report/html/overview.hpp"
#include "cases/store/read_solve_file.hpp"
#include "cases/study/cost.hpp"
#include "cases/study/version.hpp"

namespace plenair::command {

namespace {

/// The values side by side as a page.
bool writes_page(const Request& request) {
    return request.output.ends_with(".html");
}

/// Before computing: -o and --csv can be written and have an ending that compare knows.
void check_files(const Request& request) {
    if (writes_page(request)) {
        refuse_unwritable(request.output);
        if (!request.csv.empty()) refuse_unwritable(request.csv);
        return;
    }
    if (!request.output.empty() &&
        file_kind(request.output, "use .json, .csv or .html, for example -o values.html") ==
            FileKind::hdf5) {
        throw InputError(
            {fmt::format("-o {}: compare writes .json, .csv and, of values, .html; sweep keeps its "
                         "variants in .h5",
                         request.output)});
    }
    check_outputs(request);
}

Status compare_values(const Request& request) {
    if (is_result(request.case_path)) {
        throw InputError(
            {fmt::format("{}: one result alone; name a second one to compare it with, "
                         "or a case file with --vary",
                         request.case_path)});
    }
    const Case base = read_case(request.case_path, all_sets(request));
    const auto variation = read_variation(request.vary, request.case_path, all_sets(request));
    const auto values = vary_case(base, variation);
    check_files(request);
    if (!request.quiet) {
        print_warnings(base.warnings);
        std::vector<const Case*> cases;
        for (const auto& value : values) {
            cases.push_back(&value.c);
        }
        announce(expected_work(cases,
                               request.bands == "on" ? 1 + band_solutions : 1,
                               static_cast<int>(request.threads)));
    }
    ProgressLine progress(!request.quiet, "solutions");
    CompareOptions options;
    options.threads = static_cast<int>(request.threads);
    options.bands = request.bands == "on";
    options.points = request.points;
    options.progress = [&progress](int done, int total) { progress(done, total); };
    const CompareResult result = compare(base, variation.key, values, options);
    progress.clear();
    if (writes_page(request)) {
        Overview overview = overview_of(result);
        overview.units = base.units;
        write_text(request.output, html_text(overview, {}));
        Request rest = request;
        rest.output.clear();
        deliver(rest, result);
    } else {
        deliver(request, result);
    }
    if (!result.converged()) {
        say("some points did not converge; no figures are given for them");
        return Status::not_converged;
    }
    return Status::done;
}

Revision revision_of(const Request& request, const std::string& path) {
    Revision revision;
    revision.path = path;
    if (!is_result(path)) {
        const Case c = read_case(path, all_sets(request));
        SolveOptions options;
        options.bands = request.bands == "on";
        options.refine_curves = false;
        revision.version = version();
        revision.result = solve_watched(c, request, options);
        revision.echo = c.echo;
        return revision;
    }
    StoredSolve stored = read_solve_file(path);
    revision.version = stored.version;
    if (!request.quiet) print_warnings(stored.warnings);
    revision.result = std::move(stored.result);
    try {
        const Case c = parse_case(revision.result.case_text, path, unit_sets(request));
        revision.echo = c.echo;
        revision.result.units = c.units;
    } catch (const InputError& error) {
        revision.echo_fault = error.messages().front();
    }
    return revision;
}

/// Entries of an inch case and of a metric one differ in words only where they differ in size.
void read_in_one_unit(Revision& revision) {
    if (revision.echo_fault.empty()) {
        revision.echo =
            parse_case(revision.result.case_text, revision.path, {"case.units=mm"}).echo;
    }
}

void check_revisions(const Request& request) {
    std::vector<std::string> faults;
    if (!request.vary.empty()) {
        faults.emplace_back(
            "--vary beside two files: compare values of one case, or two files, not both");
    }
    if (!request.points.empty()) {
        faults.emplace_back("--point beside two files: leave it out");
    }
    for (const auto& path : {request.case_path, request.other_path}) {
        if (is_result(path) && !request.sets.empty()) {
            faults.push_back(fmt::format(
                "--set beside {}: a result cannot be changed; name its case file", path));
        }
        if (is_result(path) && request.bands == "on") {
            faults.push_back(fmt::format(
                "--bands on beside {}: a result has the bands it was solved with", path));
        }
    }
    if (!faults.empty()) {
        throw InputError(faults);
    }
}

Status compare_results(const Request& request) {
    check_revisions(request);
    if (writes_page(request)) {
        throw InputError({fmt::format(
            "-o {}: two results side by side are a page of plenair report: report {} {} -o {}",
            request.output,
            request.case_path,
            request.other_path,
            request.output)});
    }
    check_files(request);
    Revision before = revision_of(request, request.case_path);
    Revision after = revision_of(request, request.other_path);
    if (before.result.units != after.result.units) {
        read_in_one_unit(before);
        read_in_one_unit(after);
    }
    const DifferenceResult result = difference(before, after);
    if (!request.quiet) {
        print_warnings(result.warnings);
    }
    deliver(request, result);
    return before.result.converged() && after.result.converged() ? Status::done
                                                                 : Status::not_converged;
}

}  // namespace

CLI::App* add_compare(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("compare", "Values of one entry side by side, or two results");
    add_common_options(*verb, request);
    add_name(*verb, "other", request.other_path, "Second case, or results (.h5, .json) for both")
        ->type_name("OTHER");
    add_name(*verb, "--vary", request.vary, "The entry and its values (default: those of [sweep])")
        ->type_name("KEY=VALUES")
        ->allow_extra_args(false);
    add_point_option(*verb, request);
    verb->add_option("--bands",
                     request.bands,
                     "Bands of spread from the model's coefficients (default: off; fourteen more "
                     "solutions a point)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    add_name(*verb,
             "-o,--output",
             request.output,
             "Write the comparison: .json, .csv, or a page of the values: .html")
        ->type_name("FILE");
    add_csv_option(*verb, request);
    verb->footer(
        "Examples:\n"
        "  plenair compare cases/shipped/hill-climb-four/case.toml \\\n"
        "      --vary \"slot.width=3, 4, 5, 6, 8, 10 mm\"\n"
        "  plenair compare case.toml --vary \"slot.edge_radius=0.5, 1, 2 mm\" --point A4\n"
        "  plenair compare before.json after.json\n"
        "  plenair compare case.toml case-5mm.toml --csv changes.csv");
    return verb;
}

Status run_compare(const Request& request) {
    if (!request.other_path.empty()) {
        return compare_results(request);
    }
    return compare_values(request);
}

}  // namespace plenair::command
