#include "cases/file/start.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string>
#include <vector>

#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/shipped.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/verbs.hpp"
#include "geometry/error.hpp"
#include "geometry/nearest_word.hpp"

namespace plenair::command {

namespace {

std::vector<std::string> shipped_names() {
    std::vector<std::string> names;
    for (const auto& shipped : shipped_cases()) {
        names.emplace_back(shipped.name);
    }
    return names;
}

/// Puts the text of the shipped case into the request.
void take_like(StartRequest& start) {
    if (start.like.empty()) {
        return;
    }
    const auto all = shipped_cases();
    const auto found = std::find_if(
        all.begin(), all.end(), [&](const ShippedCase& c) { return c.name == start.like; });
    if (found == all.end()) {
        const auto names = shipped_names();
        const auto near = geometry::nearest_word(start.like, names);
        throw InputError(
            {fmt::format("--like {}: no such shipped case; {}",
                         start.like,
                         near.empty() ? fmt::format("there are {}", fmt::join(names, ", "))
                                      : fmt::format("did you mean {}?", near))});
    }
    start.like_text = std::string(found->text);
}

/// One question, again until its answer is good; Enter leaves it to be assumed.
/// @returns false at the end of the input
bool put_question(StartRequest& start, const StartQuestion& question) {
    while (true) {
        const auto assumed = assumed_answer(start, question.name);
        const std::string hint = !assumed.empty() ? fmt::format("[Enter: assume {}]", assumed)
                                 : question.needed
                                     ? fmt::format("(e.g. {})", question.example)
                                     : fmt::format("(e.g. {}; Enter: assume)", question.example);
        const auto line = ask(fmt::format("{} {}: ", question.text, hint));
        if (!line) {
            return false;
        }
        if (line->find_first_not_of(" \t\r") == std::string::npos) {
            if (question.needed && assumed.empty()) {
                say("  nothing can be assumed for it; write e.g. " + std::string(question.example));
                continue;
            }
            return true;
        }
        const std::string answer = line->substr(0, line->find_last_not_of(" \t\r") + 1);
        if (const auto fault = answer_fault(start, question.name, answer); !fault.empty()) {
            say("  " + fault);
            continue;
        }
        start.answers[std::string(question.name)] = answer;
        return true;
    }
}

void put_questions(StartRequest& start) {
    say("Write each length with its unit. Enter takes what is assumed; it stays marked in the "
        "file.");
    for (const auto& question : start_questions()) {
        if (!start.answers.contains(question.name) && !put_question(start, question)) {
            return;
        }
    }
}

}  // namespace

CLI::App* add_start(CLI::App& app, Request& request) {
    auto* verb = app.add_subcommand(
        "start", "Write a case file of one's own; what is not stated is assumed and marked");
    add_name(*verb, "-o,--output", request.output, "Write the case file (never over another one)")
        ->type_name("FILE.toml");
    for (const auto& question : start_questions()) {
        const std::string name(question.name);
        verb->add_option_function<std::string>(
                "--" + name,
                [&request, name](const std::string& text) { request.start.answers[name] = text; },
                fmt::format("{}, e.g. {}", question.text, question.example))
            ->type_name(question.name == "cylinders" || question.name == "banks" ||
                                question.name == "valves"
                            ? "N"
                            : "TEXT");
    }
    add_set_option(*verb, request);
    add_name(*verb, "--title", request.start.title, "Title of the case")->type_name("TEXT");
    add_name(*verb, "--like", request.start.like, "Take what is not stated from a shipped case")
        ->type_name(fmt::format("{}", fmt::join(shipped_names(), "|")));
    verb->add_flag("--inches", request.start.inches, "Write assumed lengths in inches");
    auto* ask_flag = verb->add_flag(
        "--ask", request.ask, "Ask on standard input what is not stated (default on a terminal)");
    verb->add_flag("--assume", request.assume, "Ask nothing")->excludes(ask_flag);
    verb->add_flag("--quiet", request.quiet, "Say nothing but errors");
    verb->footer(
        "Examples:\n"
        "  plenair start -o case.toml                    # asks\n"
        "  plenair start --cylinders 4 --bore \"86 mm\" --stroke \"86 mm\" --boost \"120 kPa g\" "
        "-o "
        "case.toml\n"
        "  plenair start --like v6-bank --bore \"92 mm\" --set \"engine.rod=132 mm\" -o case.toml");
    return verb;
}

Status run_start(const Request& request) {
    StartRequest start = request.start;
    start.sets = request.sets;
    take_like(start);
    if (!request.output.empty()) {
        refuse_existing_toml(request.output, "-o", "case");
    }
    // What was typed as options must be good before anything is asked.
    for (const auto& question : start_questions()) {
        if (const auto given = start.answers.find(question.name); given != start.answers.end()) {
            if (const auto fault = answer_fault(start, question.name, given->second);
                !fault.empty() && (request.ask || is_asking_possible()) && !request.assume) {
                say(fault);
                start.answers.erase(given);
            }
        }
    }
    if (request.ask || (!request.assume && !request.quiet && is_asking_possible())) {
        put_questions(start);
    }
    const StartedCase started = start_case(start);
    if (request.output.empty()) {
        print(started.text);
        return Status::done;
    }
    write_text(request.output, started.text);
    if (!request.quiet) {
        say(fmt::format(
            "{0}: {1} entries stated, {2} assumed; the file marks them and says on what "
            "each rests.\nNext: plenair check {0}\n      plenair solve {0}",
            request.output,
            started.given,
            started.assumed));
    }
    return Status::done;
}

}  // namespace plenair::command
