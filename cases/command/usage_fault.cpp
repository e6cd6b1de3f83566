#include "cases/command/usage_fault.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string_view>
#include <utility>

namespace plenair::command {

namespace {

/// What stands before and behind some words; nothing where they are not there.
std::optional<std::pair<std::string, std::string>> around(std::string_view text,
                                                          std::string_view words) {
    const auto at = text.find(words);
    return at == std::string_view::npos
               ? std::nullopt
               : std::optional(std::pair(std::string(text.substr(0, at)),
                                         std::string(text.substr(at + words.size()))));
}

/// "plenair gather FOLDER" of a place on the command line that is empty.
std::string missing_place(const CLI::App& app, const std::string& name) {
    const auto verbs = app.get_subcommands();
    const CLI::Option* place = verbs.empty() ? nullptr : verbs.front()->get_option_no_throw(name);
    if (place == nullptr) {
        return {};
    }
    const std::string verb = verbs.front()->get_name();
    return fmt::format(
        "{0}: names no {1}; write plenair {0} {1} (plenair {0} --help has an example)",
        verb,
        place->get_type_name());
}

/// "--units: feet not in {mm,inch}".
std::string no_choice(const std::string& before, std::string choices) {
    const auto parts = around(before, ": ");
    const auto end = choices.find('}');
    if (!parts || end == std::string::npos) {
        return {};
    }
    choices.resize(end);
    std::string list;
    for (const char c : choices) {
        list += c == ',' ? ", " : std::string(1, c);
    }
    return fmt::format(
        "{}: '{}' is none of {}; write one of these", parts->first, parts->second, list);
}

}  // namespace

std::string usage_fault(const CLI::App& app, const CLI::ParseError& error) {
    const std::string text = error.what();
    if (const auto excluded = around(text, " excludes ")) {
        return fmt::format("{} and {} contradict each other; leave one of them out",
                           excluded->second,
                           excluded->first);
    }
    if (const auto missing = around(text, ": 1 required "); missing && text.ends_with(" missing")) {
        // Behind a colon the library lists the choices once more.
        const auto type = missing->second.substr(0, missing->second.find_first_of(" :"));
        return fmt::format("{0}: nothing stands behind it; write {0} {1}", missing->first, type);
    }
    if (const auto often = around(text, ": At Most 1 required but received ")) {
        return fmt::format("{}: is given {} times; give it once", often->first, often->second);
    }
    if (const auto value = around(text, "Could not convert: ")) {
        const auto option = value->second.substr(0, value->second.find(" = "));
        return fmt::format("{}: takes no value; leave out what stands behind it", option);
    }
    if (text.starts_with("A subcommand is required")) {
        return "no verb given; plenair --help lists all verbs";
    }
    if (const auto list = around(text, " not in {")) {
        return no_choice(list->first, list->second);
    }
    if (const auto place = around(text, " is required")) {
        return missing_place(app, place->first);
    }
    return {};
}

}  // namespace plenair::command
