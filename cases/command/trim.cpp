#include "cases/study/trim.hpp"
#include "cases/command/formats.hpp"

#include <fmt/format.h>

#include <string>
#include <utility>
#include <vector>

#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/command/watched_solve.hpp"
#include "cases/file/read.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "cases/store/store.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

namespace plenair::command {

namespace {

struct Solved {
    Case c;
    SolveResult result;
};

/// A case is solved now; a result carries the case that it was solved from.
Solved solved_input(const Request& request) {
    if (is_result(request.case_path)) {
        if (!request.sets.empty()) {
            throw InputError({fmt::format(
                "{}: --set changes a case, not a result that was computed before; name the case "
                "file",
                request.case_path)});
        }
        auto result = read_result(request.case_path, request.quiet);
        auto c =
            parse_case(result.case_text, request.case_path + " (its case)", unit_sets(request));
        result.units = c.units;
        return {std::move(c), std::move(result)};
    }
    auto c = read_case(request.case_path, all_sets(request));
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    SolveOptions options;
    options.bands = request.bands == "on";
    options.refine_curves = false;
    auto result = solve_watched(c, request, options);
    return {std::move(c), std::move(result)};
}

std::vector<double> axis(const std::string& option,
                         const std::string& text,
                         geometry::Dimension dimension) {
    if (text.empty()) {
        return {};
    }
    const auto list = geometry::parse_list(text, dimension);
    if (!list.values) {
        throw InputError(
            {fmt::format("{} \"{}\": {}; {}", option, text, list.problem, list.remedy)});
    }
    return *list.values;
}

TrimOptions options_of(const Request& request) {
    TrimOptions options;
    options.step = geometry::from_unit(request.trim_step, "%");
    options.map_speeds = axis("--map-speeds", request.map_speeds, geometry::Dimension::speed);
    options.map_pressures = axis("--map-loads", request.map_loads, geometry::Dimension::pressure);
    if (options.map_speeds.empty() && !options.map_pressures.empty()) {
        throw InputError(
            {"--map-loads without --map-speeds; write e.g. --map-speeds \"3000, 4000, "
             "5000 rpm\""});
    }
    return options;
}

void check_output(const Request& request) {
    if (request.output.empty()) {
        return;
    }
    if (file_kind(request.output, "use .json or .csv, for example -o trims.csv") ==
        FileKind::hdf5) {
        throw InputError({fmt::format(
            "-o {}: trim writes .json or .csv; solve -o keeps the air itself as .h5, and trim "
            "reads that",
            request.output)});
    }
    refuse_unwritable(request.output);
}

void deliver_trims(const Request& request, const TrimResult& result) {
    if (!request.output.empty()) {
        write_text(
            request.output,
            file_kind(request.output) == FileKind::json ? json_text(result) : csv_text(result));
    }
    if (request.json) {
        print(json_text(result));
    } else if (!request.quiet) {
        print(terminal_text(result, colour_wanted()));
    }
}

}  // namespace

CLI::App* add_trim(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("trim",
                                    "Fuel trim of each cylinder, and what it asks of the "
                                    "injectors");
    add_common_options(*verb, request);
    verb->get_option("case")->description(
        "Case file (TOML, - for standard input), or a result of solve (.h5, .json)");
    add_name(*verb, "-o,--output", request.output, "Write the trims: .json or .csv")
        ->type_name("FILE");
    add_number(*verb,
               "--step",
               request.trim_step,
               {0.01, 10, "%", "--step 0.5"},
               "Round trims to this, ties to rich (default: 0.5)")
        ->type_name("PERCENT");
    add_name(*verb,
             "--map-speeds",
             request.map_speeds,
             "Interpolate a trim map at these speeds, never beyond the points")
        ->type_name("LIST");
    add_name(*verb,
             "--map-loads",
             request.map_loads,
             "And at these pressures in the plenum; without it along the speeds alone")
        ->type_name("LIST");
    verb->add_option("--bands", request.bands, "Bands from the model's coefficients (default: off)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    verb->footer(
        "Examples:\n"
        "  plenair trim cases/shipped/marine-six/log.toml --step 0.5 -o trims.csv\n"
        "  plenair trim result.h5 --map-speeds \"2500, 3500, 4500 rpm\" --json\n"
        "Trims are by cylinder number; + is more fuel.");
    return verb;
}

Status run_trim(const Request& request) {
    const TrimOptions options = options_of(request);
    check_output(request);
    const auto [c, solved] = solved_input(request);
    const TrimResult result = trim(c, solved, options);
    if (!result.errors.empty()) {
        throw InputError(result.errors);
    }
    deliver_trims(request, result);
    if (result.converged()) {
        return Status::done;
    }
    for (const auto& point : result.points) {
        if (!point.issued) {
            say(fmt::format(
                "point '{}' is not a result: {}; no trims are issued", point.name, point.failure));
        }
    }
    return Status::not_converged;
}

}  // namespace plenair::command
