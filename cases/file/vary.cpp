#include "cases/file/vary.hpp"

#include "cases/file/key.hpp"
#include "cases/file/read.hpp"
#include "cases/file/sweep.hpp"
#include "cases/file/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>

namespace plenair {
namespace {

const VariantLimit compare_limit{most_values, "use sweep, which takes more"};

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// Parts at the commas that stand in no bracket, brace or quote.
std::vector<std::string> parts_of(std::string_view text) {
    std::vector<std::string> parts(1);
    int depth = 0;
    char quote = '\0';
    for (const char sign : text) {
        if (quote != '\0') {
            quote = sign == quote ? '\0' : quote;
        } else if (sign == '"' || sign == '\'') {
            quote = sign;
        } else if (sign == '[' || sign == '{') {
            ++depth;
        } else if (sign == ']' || sign == '}') {
            --depth;
        } else if (sign == ',' && depth == 0) {
            parts.emplace_back();
            continue;
        }
        parts.back() += sign;
    }
    for (auto& part : parts) {
        part = std::string(trimmed(part));
    }
    return parts;
}

/// What follows a leading number; none where there is no number.
std::optional<std::string> unit_behind(const std::string& part) {
    double number = 0;
    const auto end = std::from_chars(part.data(), part.data() + part.size(), number);
    if (end.ec != std::errc{}) {
        return std::nullopt;
    }
    const auto length = static_cast<std::size_t>(end.ptr - part.data());
    return std::string(trimmed(std::string_view(part).substr(length)));
}

void share_last_unit(std::vector<std::string>& parts) {
    const auto last = unit_behind(parts.back());
    if (!last || last->empty()) {
        return;
    }
    for (auto& part : parts) {
        const auto own = unit_behind(part);
        if (own && own->empty()) {
            part += " " + *last;
        }
    }
}

/// The messages of a refused value, with the option that gave it in place of --set.
std::string from_vary(const std::string& message) {
    const std::string set = "--set: ";
    return message.starts_with(set) ? "--vary: " + message.substr(set.size()) : message;
}

InputError with_vary(const InputError& error) {
    std::vector<std::string> messages;
    for (const auto& message : error.messages()) {
        messages.push_back(from_vary(message));
    }
    return InputError(messages);
}

/// "slot.width={ from = ..." as an entry of [sweep]; empty where it is no range.
std::string sweep_entry(std::string_view vary) {
    const auto equals = vary.find('=');
    if (equals == std::string_view::npos) {
        return {};
    }
    const auto value = trimmed(vary.substr(equals + 1));
    const bool range = value.starts_with('{') && value.find("from") != std::string_view::npos;
    return range ? fmt::format("sweep={{ \"{}\" = {} }}", trimmed(vary.substr(0, equals)), value)
                 : std::string();
}

Variation variation_of(const SweepPlan& plan, const std::string& path) {
    if (plan.info.inputs.size() != 1) {
        throw InputError({fmt::format(
            "{}: [sweep] names {} entries; compare sets the values of one side by side, name it "
            "with --vary",
            path,
            plan.info.inputs.size())});
    }
    Variation variation;
    variation.key = plan.info.inputs.front().key;
    for (const auto& variant : plan.variants(0, plan.info.count)) {
        variation.values.push_back(variant.inputs.front().text);
    }
    return variation;
}

/// --set and --vary of one entry contradict each other.
void refuse_set(std::string_view key, const std::vector<std::string>& sets) {
    for (const auto& set : sets) {
        const auto equals = set.find('=');
        if (equals != std::string::npos &&
            trimmed(std::string_view(set).substr(0, equals)) == key) {
            throw InputError({fmt::format(
                "--set: {}: --vary gives {} its values; leave one of them out", set, key)});
        }
    }
}

}  // namespace

Variation read_variation(const std::string& vary,
                         const std::string& path,
                         const std::vector<std::string>& sets) {
    const std::string shown = file::shown_path(path);
    if (vary.empty()) {
        try {
            return variation_of(read_sweep(path, sets, compare_limit), shown);
        } catch (const InputError& error) {
            if (std::string(error.what()).find("no [sweep]") == std::string::npos) {
                throw;
            }
            throw InputError({shown +
                              ": nothing to compare: neither --vary nor [sweep]; write e.g. "
                              "--vary \"slot.width=3, 4, 5, 6 mm\", or name two cases or "
                              "results"});
        }
    }
    refuse_set(trimmed(std::string_view(vary).substr(0, vary.find('='))), sets);
    const auto entry = sweep_entry(vary);
    if (entry.empty()) {
        return parse_variation(vary);
    }
    auto with = sets;
    with.push_back(entry);
    try {
        return variation_of(read_sweep(path, with, compare_limit), shown);
    } catch (const InputError& error) {
        throw with_vary(error);
    }
}

Variation parse_variation(std::string_view text) {
    const auto fault = [text](const std::string& what) {
        return InputError({fmt::format(
            "--vary: {}: {}; write e.g. --vary \"slot.width=3, 4, 5, 6 mm\"", text, what)});
    };
    if (text.size() > file::longest_line) {
        throw InputError(
            {fmt::format("--vary: {:.60}...: {} characters, at most {} are read; use "
                         "sweep, which takes more",
                         text,
                         text.size(),
                         file::longest_line)});
    }
    const auto equals = text.find('=');
    Variation variation;
    variation.key = std::string(trimmed(text.substr(0, std::min(equals, text.size()))));
    if (equals == std::string_view::npos || variation.key.empty()) {
        throw fault("no key and values");
    }
    if (variation.key.starts_with("sweep.")) {
        throw fault(variation.key + " is not an entry of the case and cannot vary");
    }
    if (const auto* key = file::find_key(variation.key); key && key->kind == file::Kind::text) {
        throw fault(variation.key + " is only a text; it changes nothing that is computed");
    }
    variation.values = parts_of(trimmed(text.substr(equals + 1)));
    share_last_unit(variation.values);
    const auto& values = variation.values;
    if (std::any_of(values.begin(), values.end(), [](auto& v) { return v.empty(); })) {
        throw fault("a value is empty");
    }
    if (values.size() < 2) {
        throw fault("one value alone cannot be compared");
    }
    if (values.size() > most_values) {
        throw fault(fmt::format(
            "{} values; compare takes at most {}, sweep takes more", values.size(), most_values));
    }
    for (auto value = values.begin(); value != values.end(); ++value) {
        if (std::find(values.begin(), value, *value) != value) {
            throw fault(fmt::format("{} stands twice", *value));
        }
    }
    return variation;
}

std::vector<ComparedCase> vary_case(const Case& base, const Variation& variation) {
    std::vector<ComparedCase> cases;
    std::vector<std::string> errors;
    for (const auto& value : variation.values) {
        try {
            cases.push_back(
                {value, parse_case(base.text, base.path, {variation.key + "=" + value})});
        } catch (const InputError& error) {
            for (const auto& message : error.messages()) {
                const auto text = from_vary(message);
                if (std::find(errors.begin(), errors.end(), text) == errors.end()) {
                    errors.push_back(text);
                }
            }
        }
    }
    if (!errors.empty()) {
        throw InputError(errors);
    }
    return cases;
}

}  // namespace plenair
