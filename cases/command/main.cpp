#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <new>
#include <sstream>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "cases/command/deciding.hpp"
#include "cases/command/interrupt.hpp"
#include "cases/command/options.hpp"
#include "cases/command/output_paths.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/command/usage_fault.hpp"
#include "cases/command/verbs.hpp"
#include "cases/study/error.hpp"
#include "cases/study/version.hpp"
#include "geometry/error.hpp"
#include "geometry/nearest_word.hpp"

namespace plenair::command {

namespace {

/// One verb: its options, and the function that does it.
struct Verb {
    CLI::App* options = nullptr;
    RunVerb* run = nullptr;
};

Status fail(Status status, const std::string& message) {
    say(message);
    return status;
}

/// One a line. Not by what(), which a NUL would cut.
std::string joined(const std::vector<std::string>& messages) {
    std::string all;
    for (const auto& message : messages) {
        all += message + "\n";
    }
    return all;
}

/// "check, solve and bench".
std::string names_of(const std::vector<Verb>& verbs) {
    std::string names;
    for (std::size_t i = 0; i < verbs.size(); ++i) {
        const char* before = i == 0 ? "" : i + 1 == verbs.size() ? " and " : ", ";
        names += before + verbs[i].options->get_name();
    }
    return names;
}

/// Text that an option asks for in place of a run.
struct AnswerOnly {
    std::string text;
};

/// For packagers and shells; both are made from the table of options itself.
void add_describing_options(CLI::App& app) {
    app.add_option_function<std::string>(
           "--completion",
           [&app](const std::string& shell) {
               throw AnswerOnly{completion_text(described_command(app), shell)};
           },
           "Print completions for a shell")
        ->check(CLI::IsMember({"bash", "zsh", "fish"}))
        ->type_name("bash|zsh|fish")
        ->trigger_on_parse();
    app.add_flag_callback(
           "--manual-page",
           [&app] { throw AnswerOnly{manual_page_text(described_command(app), version())}; },
           "Print the manual page plenair(1)")
        ->trigger_on_parse();
}

bool is_known(const std::vector<Verb>& verbs, std::string_view word) {
    return word.starts_with('-') || std::any_of(verbs.begin(), verbs.end(), [&](const Verb& verb) {
               return verb.options->get_name() == word;
           });
}

/// What people come for, each a line to copy.
constexpr std::string_view first_steps =
    "  plenair start -o case.toml                    a case of your own engine: asks what you "
    "know\n"
    "  plenair solve case.toml                       each cylinder's share of the air\n"
    "  plenair compare case.toml --vary \"slot.width=4, 6, 8 mm\"    how wide the slot should be\n";

std::vector<std::string> names_list(const std::vector<Verb>& verbs) {
    std::vector<std::string> names{"help"};
    for (const auto& verb : verbs) {
        names.push_back(verb.options->get_name());
    }
    return names;
}

/// Names of all options of a verb as they are typed: "--set", "-o".
std::vector<std::string> option_names(const CLI::App& verb) {
    std::vector<std::string> names;
    for (const auto* option : verb.get_options()) {
        for (const auto& name : option->get_lnames()) {
            names.push_back("--" + name);
        }
    }
    return names;
}

/// "unknown option --bnads of solve; did you mean --bands?" of the first such word; empty without.
std::string unknown_option(const CLI::App& app,
                           const std::vector<Verb>& verbs,
                           int argc,
                           char** argv) {
    const auto verb = std::find_if(verbs.begin(), verbs.end(), [&](const Verb& v) {
        return v.options->get_name() == argv[1];
    });
    const bool own = verb == verbs.end();
    const auto names = option_names(own ? app : *verb->options);
    const std::string of = own ? "plenair" : argv[1];
    for (int i = own ? 1 : 2; i < argc; ++i) {
        const std::string word(argv[i]);
        const std::string name = word.substr(0, word.find('='));
        if (!name.starts_with("--") || name.size() < 3 ||
            std::find(names.begin(), names.end(), name) != names.end()) {
            continue;
        }
        const auto near = geometry::nearest_word(name, names);
        return fmt::format("unknown option {} of {}; {}",
                           name,
                           of,
                           near.empty()
                               ? fmt::format("{}{} --help lists them", own ? "" : "plenair ", of)
                               : fmt::format("did you mean {}?", near));
    }
    return {};
}

/// "check: 'mm' was not expected; ..." of words that no option and no place takes; empty without.
std::string surplus_words(const CLI::App& app) {
    const auto words = app.remaining(true);
    const auto verbs = app.get_subcommands();
    if (words.empty() || verbs.empty()) {
        return {};
    }
    return fmt::format(
        "{}: '{}' was not expected; leave it out, or put quotes around a value with blanks, e.g. "
        "--set \"slot.width=6 mm\"",
        verbs.front()->get_name(),
        words.front());
}

/// What to say of a word that is no verb.
std::string verb_fault(const std::vector<Verb>& verbs, int argc, char** argv) {
    if (argc < 2) {
        return fmt::format("no verb given. To begin:\n{}plenair --help lists all verbs",
                           first_steps);
    }
    if (std::string_view(argv[1]).ends_with(".toml")) {
        return fmt::format("no verb before {0}; write e.g. plenair solve {0}, or check {0}",
                           argv[1]);
    }
    const auto near = geometry::nearest_word(argv[1], names_list(verbs));
    return near.empty() ? fmt::format("unknown verb '{}'; the verbs are {}, see plenair --help",
                                      argv[1],
                                      names_of(verbs))
                        : fmt::format("unknown verb '{}'; did you mean {}? The verbs are {}",
                                      argv[1],
                                      near,
                                      names_of(verbs));
}

/// "help" and "help solve" ask for the same as "--help" and "solve --help".
std::vector<char*> without_help_verb(int argc, char** argv) {
    static std::string asked = "--help";
    std::vector<char*> words(argv, argv + argc);
    if (argc >= 2 && std::string_view(argv[1]) == "help") {
        words.erase(words.begin() + 1);
        words.push_back(asked.data());
    }
    return words;
}

/// Help and version go where they were asked for, a fault of usage to standard error.
Status answer(const CLI::App& app, const CLI::ParseError& error) {
    std::ostringstream out, faults;
    if (app.exit(error, out, faults) == 0) {
        // Of the program itself, and not of one of its verbs: what to do first comes first.
        const bool whole =
            app.get_subcommands().empty() && dynamic_cast<const CLI::CallForHelp*>(&error);
        print((whole ? fmt::format("To begin:\n{}\n", first_steps) : std::string{}) + out.str());
        return Status::done;
    }
    const auto fault = usage_fault(app, error);
    return fail(Status::bad_input, fault.empty() ? faults.str() : fault);
}

Status run(int argc, char** argv) {
    CLI::App app("Each cylinder's share of air, from a description of the intake.", "plenair");
    app.set_version_flag("--version", fmt::format("plenair {} ({})", version(), git_sha()));
    app.require_subcommand(1);
    app.footer(
        "Example: plenair solve cases/shipped/hill-climb-four/case.toml\n"
        "Exit status: 0 done, 2 bad input or usage, 3 did not converge, 4 cannot read or write,\n"
        "5 internal fault. Ctrl-C keeps what is finished; a second one stops at once.");
    app.get_formatter()->label("SUBCOMMAND", "VERB");
    add_describing_options(app);
    Request request;
    std::vector<Verb> verbs;
    for (const auto& verb : verb_functions) {
        verbs.push_back({verb.add(app, request), verb.run});
    }
    for (const auto& verb : verbs) {
        verb.options->group("Verbs");
    }
    if (argc < 2 || !is_known(verbs, argv[1])) {
        return fail(Status::bad_input, verb_fault(verbs, argc, argv));
    }
    try {
        app.parse(argc, argv);
    } catch (const AnswerOnly& answer) {
        print(answer.text);
        return Status::done;
    } catch (const CLI::ExtrasError& error) {
        auto fault = unknown_option(app, verbs, argc, argv);
        fault = fault.empty() ? surplus_words(app) : fault;
        return fault.empty() ? answer(app, error) : fail(Status::bad_input, fault);
    } catch (const CLI::RequiredError& error) {
        const auto fault = unknown_option(app, verbs, argc, argv);
        return fault.empty() ? answer(app, error) : fail(Status::bad_input, fault);
    } catch (const CLI::ParseError& error) {
        return answer(app, error);
    }
    if (request.case_path.empty() && request.inputs.empty() && request.folder.empty() &&
        !request.schema && !app.got_subcommand("start")) {
        return fail(Status::bad_input, "no case file given; run with --help for an example");
    }
    for (const auto& verb : verbs) {
        if (verb.options->parsed()) {
            check_output_paths(request, verb.options->get_name());
            return verb.run(request);
        }
    }
    return fail(Status::internal_fault, "internal fault: a verb without a function");
}

/// Errors become one text on standard error and a status; nothing else in the program does this.
Status run_and_report(int argc, char** argv) {
    try {
        auto words = without_help_verb(argc, argv);
        return run(static_cast<int>(words.size()), words.data());
    } catch (const InputError& error) {
        return fail(Status::bad_input, joined(error.messages()));
    } catch (const ReadError& error) {
        return fail(Status::no_access, error.what());
    } catch (const WriteError& error) {
        return fail(Status::no_access, error.what());
    } catch (const std::bad_alloc&) {
        return fail(Status::no_access,
                    "out of memory; nothing was written: close other programs, take fewer threads "
                    "(--threads 1) or fewer points");
    } catch (const std::system_error& error) {
        return fail(Status::no_access,
                    fmt::format("the system refused: {}; try again, with --threads 1 if it goes on",
                                error.what()));
    } catch (const std::exception& error) {
        return fail(
            Status::internal_fault,
            fmt::format("internal fault: {}; please report it with the case file", error.what()));
    }
}

}  // namespace

}  // namespace plenair::command

int main(int argc, char** argv) {
    plenair::command::hold_standard_streams();
    plenair::command::stop_cleanly_on_signals();
    return static_cast<int>(plenair::command::run_and_report(argc, argv));
}
