#include <fmt/format.h>

#include "cases/command/formats.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/plans.hpp"
#include "cases/file/read.hpp"
#include "cases/file/text.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

CLI::App* add_check(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("check", "Read a case, print what follows from its dimensions");
    add_common_options(*verb, request);
    add_name(*verb, "-o,--output", request.output, "Write the numbers as .json")->type_name("FILE");
    verb->add_flag("--schema", request.schema, "Print the JSON Schema of case files and stop");
    verb->footer(
        "Examples:\n"
        "  plenair check cases/shipped/hill-climb-four/case.toml\n"
        "  plenair check --schema > case.schema.json");
    return verb;
}

Status run_check(const Request& request) {
    if (request.schema) {
        print(json_schema());
        return Status::done;
    }
    const std::string text = file::read_text(request.case_path);
    const std::string path = file::shown_path(request.case_path);
    const auto sets = all_sets(request);
    const Case c = parse_with_plans(text, path, sets);
    if (!request.output.empty()) {
        if (file_kind(request.output, "use .json, for example -o numbers.json") != FileKind::json) {
            throw InputError({fmt::format(
                "-o {}: check writes JSON only; use a name that ends in .json", request.output)});
        }
        refuse_unwritable(request.output);
    }
    const CheckResult result = check(c);
    if (!request.output.empty()) {
        write_text(request.output, json_text(result));
    }
    if (request.json) {
        print(json_text(result));
    } else if (!request.quiet) {
        print(terminal_text(result, colour_wanted()));
    }
    return Status::done;
}

}  // namespace plenair::command
