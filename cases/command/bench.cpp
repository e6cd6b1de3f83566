#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "cases/command/deliver.hpp"
#include "cases/command/formats.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/file/tolerance.hpp"
#include "cases/report/bench_compare.hpp"
#include "cases/study/bench.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace {

/// A comparison with readings has no .h5.
void check_comparison_files(const Request& request) {
    if (!request.output.empty() &&
        file_kind(request.output, "use .json or .csv, for example -o result.json") ==
            FileKind::hdf5) {
        throw InputError(
            {fmt::format("-o {}: bench --measured writes .json or .csv; use one of these endings",
                         request.output)});
    }
}

/// Readings against the drawing, in place of the case's own set-ups.
Status compare_readings(const Request& request,
                        const Case& c,
                        const std::vector<std::string>& sets) {
    const Measured measured = read_measured(request.measured, c);
    if (!request.quiet) {
        print_warnings(measured.warnings);
    }
    const BenchComparison result =
        compare_with_bench(c, measured, read_limits(request.case_path, sets));
    deliver(request, result);
    return result.converged() ? Status::done : Status::not_converged;
}

/// The case; of what --lifts set, messages name that option.
Case read_lifted(const Request& request, const std::vector<std::string>& sets) {
    try {
        return read_case(request.case_path, sets);
    } catch (const InputError& error) {
        if (request.lifts.empty()) {
            throw;
        }
        constexpr std::string_view lifts = "--set: bench.lifts", set_up = "--set: bench.set_ups";
        std::vector<std::string> of_lifts, others;
        for (const auto& message : error.messages()) {
            if (message.starts_with(lifts)) {
                of_lifts.push_back("--lifts" + message.substr(lifts.size()));
            } else {
                others.push_back(message);
            }
        }
        // The set-up comes with the lifts: what is wrong with it alone is the option's as well.
        std::erase_if(others, [&](std::string& message) {
            const bool own = message.starts_with(set_up);
            message = own ? "--lifts: " + message.substr(sizeof("--set: ") - 1) : message;
            return own && !of_lifts.empty();
        });
        others.insert(others.end(), of_lifts.begin(), of_lifts.end());
        throw InputError(others);
    }
}

}  // namespace

CLI::App* add_bench(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("bench", "The parts on a flow bench at a depression");
    add_common_options(*verb, request);
    add_result_files(*verb, request);
    verb->add_option("--bands",
                     request.bands,
                     "Bands of the shares from the model's coefficients (default: on; twelve more "
                     "solutions a set-up)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    add_name(*verb,
             "--measured",
             request.measured,
             "Measured file: its bench and gauge readings against the drawing")
        ->type_name("FILE");
    add_name(*verb,
             "--lifts",
             request.lifts,
             "Only the heads, with the intake valves held at these lifts; as "
             "--set \"bench.lifts=...\" with set-up \"valve\"")
        ->type_name("LIFTS");
    verb->footer(
        "Examples:\n"
        "  plenair bench cases/shipped/hill-climb-four/case.toml\n"
        "  plenair bench case.toml --set \"bench.depression=28 inH2O\" --bands off --csv "
        "bench.csv\n"
        "  plenair bench cases/shipped/hill-climb-four/case.toml --lifts \"2, 4, 6, 8, 10 mm\"\n"
        "  plenair bench cases/shipped/hill-climb-four/case.toml \\\n"
        "      --measured cases/shipped/hill-climb-four/measured.toml");
    return verb;
}

Status run_bench(const Request& request) {
    auto sets = all_sets(request);
    if (!request.lifts.empty()) {
        sets.push_back("bench.lifts=" + request.lifts);
        sets.push_back("bench.set_ups=[\"valve\"]");
    }
    const Case c = read_lifted(request, sets);
    if (!request.measured.empty()) {
        check_comparison_files(request);
    }
    check_outputs(request);
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    if (!request.measured.empty()) {
        return compare_readings(request, c, sets);
    }
    const BenchStudyResult result = bench(c, request.bands != "off");
    deliver(request, result);
    if (result.converged()) {
        return Status::done;
    }
    for (const auto& set_up : result.set_ups) {
        if (!set_up.converged) {
            say(fmt::format("set-up '{}' did not converge: {}", set_up.name, set_up.failure));
        }
    }
    return Status::not_converged;
}

}  // namespace plenair::command
