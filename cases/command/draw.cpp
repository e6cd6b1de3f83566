#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>

#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "cases/file/read.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/report/drawing/drawing.hpp"
#include "cases/report/dxf/dxf.hpp"
#include "cases/report/sheet/sheet.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

CLI::App* add_draw(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand("draw", "The intake as a drawing, the slot as a shop sheet");
    add_case_options(*verb, request);
    add_name(
        *verb,
        "-o,--output",
        request.output,
        "Write .svg (picture) or .dxf (1:1, in mm or in inches as the case); with --sheet .html; "
        "without it SVG or HTML goes to standard output")
        ->type_name("FILE");
    verb->add_flag("--sheet", request.sheet, "The machining sheet of the slot, to print");
    verb->add_option("--paper", request.paper, "Page of the sheet (default: what the printer has)")
        ->type_name("any|a4|letter")
        ->check(CLI::IsMember({"any", "a4", "letter"}));
    verb->footer(
        "Examples:\n"
        "  plenair draw cases/shipped/hill-climb-four/case.toml -o intake.dxf\n"
        "  plenair draw case.toml -o intake.svg\n"
        "  plenair draw case.toml --sheet -o slot.html");
    return verb;
}

namespace {

/// What a drawing cannot do is said before the case is computed.
void check_request(const Request& request) {
    if (request.paper != "any" && !request.sheet) {
        throw InputError({"--paper belongs to --sheet; add --sheet or leave it out"});
    }
    if (request.output.empty()) {
        return;
    }
    const auto ending = std::filesystem::path(request.output).extension();
    const bool fits = request.sheet ? ending == ".html" : ending == ".svg" || ending == ".dxf";
    if (!fits) {
        throw InputError({request.sheet
                              ? fmt::format("-o {}: the machining sheet is HTML; use a name that "
                                            "ends in .html, for example -o slot.html",
                                            request.output)
                              : fmt::format("-o {}: the ending decides the format; use .svg or "
                                            ".dxf, for example -o intake.dxf",
                                            request.output)});
    }
    refuse_unwritable(request.output);
}

Paper paper_of(const std::string& name) {
    return name == "a4" ? Paper::a4 : name == "letter" ? Paper::letter : Paper::any;
}

std::string draw(const Request& request, const Case& c) {
    if (request.sheet) {
        return sheet_html(machining_sheets(c, slot_shops(c)), {paper_of(request.paper)});
    }
    if (request.output.ends_with(".dxf")) {
        return dxf_text(intake_drawing(c.intake, c.title, c.units, slot_shops(c), DrawnFor::file));
    }
    DrawingOptions options;
    options.title = c.title;
    options.units = c.units;
    options.stand_alone = true;
    options.shops = slot_shops(c);
    return drawing_svg(c.intake, options);
}

}  // namespace

Status run_draw(const Request& request) {
    check_request(request);
    const Case c = read_case(request.case_path, all_sets(request));
    if (!request.quiet) {
        print_warnings(c.warnings);
    }
    const std::string text = draw(request, c);
    if (request.output.empty()) {
        print(text);
        return Status::done;
    }
    write_text(request.output, text);
    if (!request.quiet) {
        print(fmt::format("{} written\n", request.output));
    }
    return Status::done;
}

}  // namespace plenair::command
