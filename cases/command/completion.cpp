#include <fmt/format.h>

#include "cases/command/describe.hpp"

namespace plenair::command {

namespace {

std::string joined(const std::vector<std::string>& words) {
    return fmt::format("{}", fmt::join(words, " "));
}

std::string escaped(const std::string& text, const std::string& signs) {
    std::string out;
    for (const char sign : text) {
        if (signs.find(sign) != std::string::npos) {
            out += '\\';
        }
        out += sign;
    }
    return out;
}

/// In single quotes; an apostrophe closes them, stands alone, and opens them again.
std::string quoted(const std::string& text) {
    std::string out = "'";
    for (const char sign : text) {
        out += sign == '\'' ? "'\\''" : std::string(1, sign);
    }
    return out + "'";
}

std::vector<std::string> words_of(const DescribedVerb& verb) {
    std::vector<std::string> words;
    for (const auto& option : verb.options) {
        if (!option.positional) {
            words.insert(words.end(), option.names.begin(), option.names.end());
        }
    }
    return words;
}

std::vector<std::string> verbs_of(const DescribedCommand& command) {
    std::vector<std::string> names;
    for (std::size_t i = 1; i < command.size(); ++i) {
        names.push_back(command[i].name);
    }
    return names;
}

/// What may follow an option that takes a value: "solve,--bands) COMPREPLY=(...); return ;;".
std::string bash_values(const DescribedVerb& verb) {
    std::string lines;
    for (const auto& option : verb.options) {
        if (option.positional || option.value.empty()) {
            continue;
        }
        std::vector<std::string> patterns;
        for (const auto& name : option.names) {
            patterns.push_back(fmt::format("{},{}", verb.name, name));
        }
        const bool file = option.value.starts_with("FILE") || option.value == "FOLDER";
        const std::string action = !option.choices.empty()
                                       ? fmt::format("-W \"{}\"", joined(option.choices))
                                   : file ? "-f"
                                          : "-W \"\"";
        lines += fmt::format(
            "        {})\n            mapfile -t COMPREPLY < <(compgen {} -- "
            "\"$word\")\n            return\n            ;;\n",
            fmt::join(patterns, " | "),
            action);
    }
    return lines;
}

std::string bash(const DescribedCommand& command) {
    std::string values;
    std::string words;
    for (const auto& verb : command) {
        values += bash_values(verb);
        if (!verb.name.empty()) {
            words +=
                fmt::format("        {}) words=\"{}\" ;;\n", verb.name, joined(words_of(verb)));
        }
    }
    const std::string top = joined(words_of(command.front()));
    return fmt::format(
        "# Completions of plenair for bash, made from its own table of options.\n"
        "_plenair() {{\n"
        "    local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD - 1]}}\n"
        "    local verb='' words=''\n"
        "    ((COMP_CWORD > 1)) && verb=${{COMP_WORDS[1]}}\n"
        "    [[ $verb == -* ]] && verb=''\n"
        "    COMPREPLY=()\n"
        "    case $verb,$before in\n{}    esac\n"
        "    case $verb in\n{}        *) words=\"{}\" ;;\n    esac\n"
        "    if [[ -z $verb ]]; then\n"
        "        mapfile -t COMPREPLY < <(compgen -W \"{} $words\" -- \"$word\")\n"
        "    elif [[ $word == -* ]]; then\n"
        "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n"
        "    else\n"
        "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n"
        "    fi\n"
        "}}\n"
        "complete -o filenames -F _plenair plenair\n",
        values,
        words,
        top,
        joined(verbs_of(command)));
}

std::string zsh_arguments(const DescribedVerb& verb) {
    std::string lines;
    for (const auto& option : verb.options) {
        if (option.positional) {
            continue;
        }
        const std::string value = option.value.empty() ? ""
                                  : option.choices.empty()
                                      ? fmt::format(":{}:_files", option.value)
                                      : fmt::format(":value:({})", joined(option.choices));
        for (const auto& name : option.names) {
            lines += fmt::format(" \\\n            {}",
                                 quoted(name + "[" + escaped(option.text, "[]:\\") + "]" + value));
        }
    }
    return lines;
}

std::string zsh(const DescribedCommand& command) {
    std::string verbs;
    std::string cases;
    for (std::size_t i = 1; i < command.size(); ++i) {
        const auto& verb = command[i];
        verbs += fmt::format("    {}\n", quoted(verb.name + ":" + verb.text));
        cases += fmt::format(
            "        {})\n        _arguments{} \\\n            '*:file:_files'\n"
            "        ;;\n",
            verb.name,
            zsh_arguments(verb));
    }
    return fmt::format(
        "#compdef plenair\n"
        "# Completions of plenair for zsh, made from its own table of options.\n"
        "local -a verbs\nverbs=(\n{})\n"
        "if ((CURRENT == 2)); then\n"
        "    if [[ $words[2] == -* ]]; then\n"
        "        _arguments{}\n"
        "    else\n"
        "        _describe verb verbs\n"
        "    fi\n"
        "    return\n"
        "fi\n"
        "local verb=$words[2]\n"
        "shift words\n"
        "((CURRENT--))\n"
        "case $verb in\n{}esac\n",
        verbs,
        zsh_arguments(command.front()),
        cases);
}

std::string fish_options(const DescribedVerb& verb) {
    const std::string where = verb.name.empty()
                                  ? "__fish_use_subcommand"
                                  : fmt::format("'__fish_seen_subcommand_from {}'", verb.name);
    std::string lines;
    for (const auto& option : verb.options) {
        if (option.positional) {
            continue;
        }
        lines += "complete -c plenair -n " + where;
        for (const auto& name : option.names) {
            lines += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
        }
        if (!option.choices.empty()) {
            lines += fmt::format(" -x -a {}", quoted(joined(option.choices)));
        } else if (!option.value.empty()) {
            lines += " -r";
        }
        lines += fmt::format(" -d {}\n", quoted(option.text));
    }
    return lines;
}

std::string fish(const DescribedCommand& command) {
    std::string out = "# Completions of plenair for fish, made from its own table of options.\n";
    for (std::size_t i = 1; i < command.size(); ++i) {
        out += fmt::format("complete -c plenair -f -n __fish_use_subcommand -a {} -d {}\n",
                           command[i].name,
                           quoted(command[i].text));
    }
    for (const auto& verb : command) {
        out += fish_options(verb);
    }
    return out;
}

}  // namespace

std::string completion_text(const DescribedCommand& command, const std::string& shell) {
    return shell == "bash" ? bash(command) : shell == "zsh" ? zsh(command) : fish(command);
}

}  // namespace plenair::command
