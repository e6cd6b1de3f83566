#include <fmt/chrono.h>
#include <fmt/format.h>

#include <chrono>
#include <ctime>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/command/formats.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/command/watched_solve.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/live/page.hpp"
#include "cases/report/html.hpp"
#include "cases/report/html/overview.hpp"
#include "cases/report/live/live_module.hpp"
#include "cases/store/read_sweep.hpp"
#include "cases/store/store.hpp"
#include "cases/study/bench.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

namespace plenair::command {

namespace fs = std::filesystem;

namespace {

void check_usage(const Request& request) {
    std::vector<std::string> faults;
    if (!request.measured.empty() && request.inputs.size() != 1) {
        faults.push_back(fmt::format(
            "--measured {}: readings belong to one case or result; name one", request.measured));
    }
    if (request.output.empty()) {
        faults.emplace_back("report: no output file given; write for example -o report.html");
    } else if (fs::path(request.output).extension() != ".html") {
        faults.push_back(
            fmt::format("-o {}: report writes HTML; use a name that ends in .html, "
                        "for example -o report.html",
                        request.output));
    }
    for (const auto& input : request.inputs) {
        if (is_result(input) && !request.sets.empty()) {
            faults.push_back(fmt::format(
                "{}: --set changes a case, not a result that was computed before; name the case "
                "file",
                input));
        }
    }
    if (!faults.empty()) {
        throw InputError(faults);
    }
}

SolveResult solve_now(const Case& c, const Request& request) {
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    SolveOptions options;
    options.traces = true;
    options.bands = request.bands != "off";
    options.no_slot = request.no_slot != "off";
    options.reasons = request.causes != "off";
    return solve_watched(c, request, options);
}

/// The case that a result was computed from; nothing where an older program wrote a text that this
/// one does not read. Always called "case" in its warnings, so that the file of a result does not
/// show in the report.
std::optional<Case> case_of(const SolveResult& result, const Request& request) {
    try {
        return parse_case(result.case_text, "case", unit_sets(request));
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// Steady shares of the same metal, to stand beside the engine's: of each bank.
std::vector<BenchResult> all_open(Case c) {
    BenchSettings settings = c.bench.empty() ? BenchSettings{} : c.bench.front();
    settings.set_up = BenchSetUp::all;
    c.bench = {settings};
    return bench(c).set_ups;
}

/// What the readings say of the case, for the page.
html::Learned learn(const Case& c, const Request& request) {
    html::Learned learned;
    learned.measured = read_measured(request.measured, c);
    if (!request.quiet) {
        print_warnings(learned.measured.warnings);
    }
    FitOptions options;
    options.threads = static_cast<int>(request.threads);
    learned.fit = fit(c, learned.measured, options);
    return learned;
}

ReportSource read_source(const std::string& path, const Request& request) {
    ReportSource source;
    source.name = path == "-" ? "standard input" : fs::path(path).stem().string();
    if (is_result(path)) {
        source.result = read_result(path, request.quiet);
    } else {
        const Case c = read_case(path, all_sets(request));
        source.result = solve_now(c, request);
    }
    source.design = case_of(source.result, request);
    if (source.design) {
        source.result.units = source.design->units;
        source.shops = slot_shops(*source.design);
        source.bench = all_open(*source.design);
        if (!request.measured.empty()) {
            source.learned = learn(*source.design, request);
        }
        if (!request.no_live)
            source.live = live_page(source, geometry::from_unit(request.target, "%"));
    }
    return source;
}

std::string no_live_help() {
    const std::string what = "Without the working model, which solves the case anew in the page";
    const auto size = static_cast<double>(live_module().packed.size());
    return size > 0 ? fmt::format("{} ({:.1f} MB)", what, size / 1e6)
                    : what + " (this build has none)";
}

std::string time_now() {
    const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
    return fmt::format("{:%Y-%m-%d %H:%M} UTC", fmt::gmtime(now));
}

ReportOptions options_of(const Request& request) {
    ReportOptions options;
    options.time = request.time.empty() ? time_now() : request.time;
    options.target = geometry::from_unit(request.target, "%");
    options.scripts = !request.no_scripts;
    options.live = !request.no_live;
    return options;
}

bool is_sweep(const std::string& path) {
    return kind_of_file(path) == FileKind::hdf5 && results_format(path) == "plenair.sweep";
}

/// A page on the variants of a sweep.
Status report_sweep(const Request& request) {
    const auto& path = request.inputs.front();
    if (request.inputs.size() != 1 || !request.measured.empty()) {
        throw InputError({fmt::format(
            "{}: the page on a sweep is of one sweep alone; name no other file", path)});
    }
    Overview overview = read_sweep(path);
    try {
        overview.units = parse_case(overview.case_text, "case", unit_sets(request)).units;
    } catch (const InputError&) {
        // A text of an older program: its numbers stand in millimetres.
    }
    const std::string page = html_text(overview, options_of(request));
    write_text(request.output, page);
    if (!request.quiet) {
        print(fmt::format("{}: {} variants, {:.0f} kB\n",
                          request.output,
                          overview.variants.size(),
                          static_cast<double>(page.size()) / 1000));
    }
    return Status::done;
}

}  // namespace

CLI::App* add_report(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("report", "One HTML page from results, or from a case");
    verb->add_option("inputs",
                     request.inputs,
                     "Results of solve (.h5, .json) or case files; or the .h5 of a sweep")
        ->type_name("CASE_OR_RESULT");
    add_name(*verb, "-o,--output", request.output, "The page to write, a name that ends in .html")
        ->type_name("FILE");
    add_set_option(*verb, request);
    add_units_option(*verb, request);
    add_number(*verb,
               "--target",
               request.target,
               {0.5, 20, "%", "--target 2"},
               "Spread in % that counts as even air (default: 2)")
        ->type_name("PERCENT");
    verb->add_option("--time", request.time, "Text for the line that says when it was made")
        ->type_name("TEXT");
    verb->add_flag("--no-scripts", request.no_scripts, "Static page without scripts, for mail");
    verb->add_flag("--no-live", request.no_live, no_live_help());
    verb->add_option(
            "--bands", request.bands, "Bands from the coefficients, for a case file (default: on)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    verb->add_option("--no-slot",
                     request.no_slot,
                     "Each point without its slot too, for a case file (default: on)")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
    add_name(
        *verb, "--measured", request.measured, "Measured file: fit it, and show what was learned")
        ->type_name("FILE");
    add_causes_option(*verb, request, "on");
    add_threads_option(*verb, request);
    verb->add_flag("--quiet", request.quiet, "No progress, no warnings; errors only");
    verb->footer(
        "Examples:\n"
        "  plenair report cases/shipped/hill-climb-four/case.toml -o report.html\n"
        "  plenair report result.h5 --no-live -o plain.html\n"
        "  plenair report sweep/result.h5 -o variants.html\n"
        "  plenair report case.toml --measured measured.toml -o learned.html\n"
        "  plenair report before.h5 after.h5 -o compared.html");
    return verb;
}

Status run_report(const Request& request) {
    check_usage(request);
    refuse_unwritable(request.output);
    for (const auto& input : request.inputs) {
        if (is_sweep(input)) {
            return report_sweep(request);
        }
    }
    std::vector<ReportSource> sources;
    bool converged = true;
    for (const auto& input : request.inputs) {
        sources.push_back(read_source(input, request));
        converged = converged && sources.back().result.converged();
    }
    const std::string page = html_text(sources, options_of(request));
    write_text(request.output, page);
    if (!request.quiet) {
        print(fmt::format("{}: {} result{}, {:.0f} kB\n",
                          request.output,
                          sources.size(),
                          sources.size() == 1 ? "" : "s",
                          static_cast<double>(page.size()) / 1000));
    }
    if (converged) {
        return Status::done;
    }
    say("not every point converged; the report says which");
    return Status::not_converged;
}

}  // namespace plenair::command
