#include "cases/study/compare.hpp"

#include <fmt/format.h>

#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/file/read.hpp"
#include "cases/file/vary.hpp"
#include "cases/report/compare.hpp"

namespace plenair::command {

namespace {

/// Before computing: -o and --csv can be written and have an ending that compare knows.
void check_files(const Request& request) {
    if (!request.output.empty() && file_kind(request.output) == FileKind::hdf5) {
        throw InputError(
            {fmt::format("-o {}: compare writes .json and .csv; sweep keeps its variants in .h5",
                         request.output)});
    }
    if (!request.output.empty() && request.output == request.csv) {
        throw InputError(
            {fmt::format("-o {0} and --csv {0} name the same file; give two names", request.csv)});
    }
    for (const auto& path : {request.output, request.csv}) {
        if (!path.empty()) {
            refuse_unwritable(path);
        }
    }
}

template <class Result>
void hand_out(const Request& request, const Result& result) {
    if (!request.output.empty()) {
        const bool csv = file_kind(request.output) == FileKind::csv;
        write_text(request.output, csv ? csv_text(result) : json_text(result));
    }
    if (!request.csv.empty()) {
        write_text(request.csv, csv_text(result));
    }
    if (request.json) {
        print(json_text(result));
    } else if (!request.quiet) {
        print(terminal_text(result, colour_wanted()));
    }
}

Status compare_values(const Request& request) {
    const Variation variation = parse_variation(request.vary);
    const Case base = read_case(request.case_path, request.sets);
    const auto values = vary_case(base, variation);
    check_files(request);
    if (!request.quiet) {
        print_warnings(base.warnings);
    }
    ProgressLine progress(!request.quiet);
    CompareOptions options;
    options.threads = request.threads;
    options.bands = request.bands == "on";
    options.points = request.points;
    options.progress = [&progress](int done, int total) { progress(done, total); };
    const CompareResult result = compare(base, variation.key, values, options);
    progress.clear();
    hand_out(request, result);
    if (!result.converged()) {
        fmt::print(stderr, "some points did not converge; no figures are given for them\n");
        return Status::not_converged;
    }
    return Status::done;
}

}  // namespace

CLI::App* add_compare(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("compare", "Values of one entry side by side");
    add_common_options(*verb, request);
    verb->add_option("--vary", request.vary, "The entry and its values: key=value, value, value")
        ->type_name("KEY=VALUES")
        ->allow_extra_args(false);
    verb->add_option("--point", request.points, "Only this point; may be repeated (default: all)")
        ->type_name("NAME")
        ->allow_extra_args(false);
    verb->add_option("--bands",
                     request.bands,
                     "Bands of differences in spread from the model's coefficients (default: off;\n"
                     "ten more solutions a point)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    verb->add_option("-o,--output", request.output, "Write the comparison: .json or .csv")
        ->type_name("FILE");
    verb->add_option("--csv", request.csv, "Write the table as CSV as well")->type_name("FILE");
    verb->footer(
        "Examples:\n"
        "  plenair compare cases/shipped/hill-climb-four/case.toml \\\n"
        "      --vary \"slot.width=3, 4, 5, 6, 8, 10 mm\"\n"
        "  plenair compare case.toml --vary \"slot.edge_radius=0.5, 1, 2 mm\" --point A4 --csv "
        "a4.csv");
    return verb;
}

Status run_compare(const Request& request) {
    if (request.vary.empty()) {
        throw InputError(
            {"compare: nothing to compare; write e.g. --vary \"slot.width=3, 4, 5, 6 mm\""});
    }
    return compare_values(request);
}

}  // namespace plenair::command
