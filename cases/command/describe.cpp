#include <CLI/CLI.hpp>

#include "cases/command/describe.hpp"
#include "cases/command/options.hpp"

namespace plenair::command {

namespace {

std::vector<std::string> split(const std::string& text, char sign) {
    std::vector<std::string> parts;
    std::size_t from = 0;
    for (auto to = text.find(sign); to != std::string::npos; to = text.find(sign, from)) {
        parts.push_back(text.substr(from, to - from));
        from = to + 1;
    }
    parts.push_back(text.substr(from));
    return parts;
}

/// Of "TEXT:{double,single}" or "on|off".
std::vector<std::string> choices_of(const std::string& type) {
    const auto open = type.find('{');
    const auto close = type.find('}');
    if (open != std::string::npos && close > open) {
        return split(type.substr(open + 1, close - open - 1), ',');
    }
    return type.find('|') == std::string::npos ? std::vector<std::string>()
                                               : split(type.substr(0, type.find(':')), '|');
}

std::string joined(const std::vector<std::string>& words, const std::string& between) {
    std::string all;
    for (const auto& word : words) {
        all += all.empty() ? word : between + word;
    }
    return all;
}

DescribedOption described(const CLI::Option& option) {
    DescribedOption each;
    each.text = option.get_description();
    each.positional = option.get_positional();
    if (each.positional) {
        each.names.push_back(option.get_name());
    }
    for (const auto& name : option.get_snames()) {
        each.names.push_back("-" + name);
    }
    for (const auto& name : option.get_lnames()) {
        each.names.push_back("--" + name);
    }
    if (option.get_type_size() > 0) {
        const std::string type = option.get_type_name();
        each.choices = choices_of(type);
        each.value =
            each.choices.empty() ? type.substr(0, type.find(':')) : joined(each.choices, "|");
    }
    return each;
}

DescribedVerb described(const CLI::App& app, const std::string& name) {
    DescribedVerb verb{name, app.get_description(), app.get_footer(), {}};
    for (const CLI::Option* option : app.get_options()) {
        verb.options.push_back(described(*option));
    }
    return verb;
}

}  // namespace

DescribedCommand described_command(const CLI::App& app) {
    DescribedCommand command{described(app, "")};
    for (const CLI::App* verb : app.get_subcommands([](const CLI::App*) { return true; })) {
        command.push_back(described(*verb, verb->get_name()));
    }
    return command;
}

}  // namespace plenair::command
