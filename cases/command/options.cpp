#include "cases/command/options.hpp"

#include "cases/command/option_kinds.hpp"

#include <string>
#include <utility>
#include <vector>

namespace plenair::command {

namespace {

std::string missing_equals_sign(const std::string& text) {
    const auto sign = text.find('=');
    const bool usable = sign != std::string::npos && sign > 0;
    return usable ? "" : "'" + text + "' is not key=value; write for example \"slot.width=6 mm\"";
}

}  // namespace

std::vector<std::string> unit_sets(const Request& request) {
    return request.units.empty() ? std::vector<std::string>{}
                                 : std::vector<std::string>{"case.units=" + request.units};
}

std::vector<std::string> all_sets(const Request& request) {
    auto sets = request.sets;
    for (auto& set : unit_sets(request)) {
        sets.push_back(std::move(set));
    }
    return sets;
}

void add_units_option(CLI::App& verb, Request& request) {
    verb.add_option("--units",
                    request.units,
                    "Read results in these (default: those that most of the case is written in)")
        ->type_name("mm|inch")
        ->check(CLI::IsMember({"mm", "inch"}));
}

void add_set_option(CLI::App& verb, Request& request) {
    verb.add_option("--set", request.sets, "Override one case entry; may be repeated")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false)
        ->check(CLI::Validator(missing_equals_sign, ""));
}

void add_point_option(CLI::App& verb, Request& request) {
    verb.add_option("--point", request.points, "Only this point; may be repeated (default: all)")
        ->type_name("NAME")
        ->allow_extra_args(false);
}

void add_threads_option(CLI::App& verb, Request& request) {
    add_whole_number(verb,
                     "--threads",
                     request.threads,
                     {1, 1024, "", "--threads 4"},
                     "Use at most N threads (default: all cores)")
        ->type_name("N");
}

void add_csv_option(CLI::App& verb, Request& request, const std::string& what) {
    add_name(verb, "--csv", request.csv, what)->type_name("FILE.csv");
}

void add_case_options(CLI::App& verb, Request& request) {
    add_name(verb, "case", request.case_path, "Case file (TOML); - reads standard input")
        ->type_name("CASE");
    add_set_option(verb, request);
    add_units_option(verb, request);
    verb.add_flag("--quiet", request.quiet, "No table, no progress, no warnings; errors only");
}

void add_common_options(CLI::App& verb, Request& request) {
    add_case_options(verb, request);
    verb.add_flag("--json", request.json, "Print JSON on standard output and nothing else there");
    add_threads_option(verb, request);
}

void add_result_files(CLI::App& verb, Request& request) {
    add_name(verb, "-o,--output", request.output, "Write the result: .h5 (HDF5), .json or .csv")
        ->type_name("FILE");
    add_csv_option(verb, request);
}

void add_causes_option(CLI::App& verb, Request& request, const std::string& usual) {
    verb.add_option("--causes",
                    request.causes,
                    "Causes and largest sensitivities at the worst point (default: " + usual + ")")
        ->type_name("on|off")
        ->check(CLI::IsMember({"on", "off"}));
}

}  // namespace plenair::command
