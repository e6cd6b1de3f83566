#include "cases/file/sweep_axes.hpp"

#include "cases/file/toml.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <tuple>

#include <fmt/format.h>

namespace plenair::file {
namespace {

/// Reads the entries of [sweep] in turn.
class AxesReader final {
public:
    AxesReader(const Scope& root, Messages& messages, SweepAxes& made)
        : root_(root), messages_(messages), made_(made), reader_(messages, made.context) {}

    void section(const std::string& prefix, const toml::table& table);

private:
    void setting(const std::string& name, const toml::node& node);
    void axis(const std::vector<EntryPath>& entries, Place place, const toml::node& node);
    void list(SweepAxis& axis, const toml::array& values);
    void text_list(SweepAxis& axis, const std::string& text, const toml::node& node);
    void range(SweepAxis& axis, const toml::table& table);
    void refuse_twice(const SweepAxis& axis);
    [[nodiscard]] bool end(SweepAxis& axis, const toml::node& node, double& number);
    void fault(const SweepAxis& axis, const toml::node& node, const std::string& rule) {
        messages_.error(place_of(node.source()),
                        fmt::format("{} = {}: {}", axis.entry.shown, short_text(node), rule));
    }

    const Scope& root_;
    Messages& messages_;
    SweepAxes& made_;
    ValueReader reader_;
};

bool is_setting(std::string_view name) {
    return name == "method" || name == "count" || name == "seed" || name == "tolerance";
}

/// A table that holds other entries rather than a range.
bool holds_entries(const toml::node& node) {
    const auto* table = node.as_table();
    return table != nullptr && !table->empty() &&
           std::none_of(table->begin(), table->end(), [](const auto& item) {
               constexpr std::array words = {"from", "to", "steps", "step"};
               return std::find(words.begin(), words.end(), item.first.str()) != words.end();
           });
}

void AxesReader::section(const std::string& prefix, const toml::table& table) {
    for (const auto& [key, node] : table) {
        const std::string name = join_keys(prefix, key.str());
        const Place place = place_of(key.source());
        if (is_setting(name)) {
            setting(name, node);
            continue;
        }
        std::string problem;
        if (auto entries = find_entries(root_, name, problem); !entries.empty()) {
            if (entries.size() > 1) {
                entries.front().shown = name;
            }
            axis(entries, place, node);
        } else if (holds_entries(node)) {
            section(name, *node.as_table());
        } else {
            const auto near = nearest_word(name, {"method", "count", "seed", "tolerance"});
            messages_.error(
                place,
                near.empty()
                    ? problem
                    : fmt::format("unknown key sweep.{0}; did you mean sweep.{1}?", name, near));
        }
    }
}

void AxesReader::setting(const std::string& name, const toml::node& node) {
    const std::string key = "sweep." + name;
    const Value value = reader_.read(*find_key(key), key, node);
    if (!value.good) {
        return;
    }
    if (name == "method") {
        made_.method = value.word();
    } else if (name == "count") {
        made_.count = static_cast<std::size_t>(value.number());
    } else if (name == "tolerance") {
        made_.tolerance = value.number();
    } else {
        made_.seed = static_cast<std::uint64_t>(value.number());
    }
}

void AxesReader::axis(const std::vector<EntryPath>& entries, Place place, const toml::node& node) {
    SweepAxis made;
    made.entry = entries.front();
    made.others.assign(entries.begin() + 1, entries.end());
    made.place = place;
    const auto text = node.value<std::string>();
    if (const auto* values = node.as_array()) {
        list(made, *values);
    } else if (const auto* table = node.as_table(); table && !holds_entries(node)) {
        range(made, *table);
    } else if (node.is_string() && text->find(", ") != std::string::npos) {
        text_list(made, *text, node);
    } else {
        fault(made,
              node,
              "is one value; write a list such as [a, b, c], or "
              "{ from = \"3 mm\", to = \"10 mm\", steps = 8 }");
    }
    made_.axes.push_back(std::move(made));
}

void AxesReader::list(SweepAxis& axis, const toml::array& values) {
    if (values.empty()) {
        messages_.error(axis.place,
                        fmt::format("{}: is an empty list; write the values, or leave it out",
                                    axis.entry.shown));
    }
    for (const auto& item : values) {
        axis.values.push_back(reader_.read(*axis.entry.key, axis.entry.shown, item));
        axis.texts.push_back(item.is_string() ? *item.value<std::string>() : toml_text(item));
    }
    refuse_twice(axis);
}

/// A value that stands twice would be computed twice.
void AxesReader::refuse_twice(const SweepAxis& axis) {
    using Content = std::tuple<Form,
                               std::vector<double>,
                               std::vector<double>,
                               std::vector<double>,
                               std::vector<std::string>>;
    std::set<Content> seen;
    for (std::size_t i = 0; i < axis.values.size(); ++i) {
        const Value& value = axis.values[i];
        if (value.good &&
            !seen.emplace(value.form, value.numbers, value.x, value.ends, value.words).second) {
            messages_.error(
                value.place,
                fmt::format(
                    "{}: {} stands twice; leave one of them out", axis.entry.shown, axis.texts[i]));
        }
    }
}

/// "3, 4, 6 mm": one unit at the end, as lists of the case file have it.
void AxesReader::text_list(SweepAxis& axis, const std::string& text, const toml::node& node) {
    const auto last = number_and_unit(text.substr(text.rfind(", ") + 2));
    std::string_view rest = text;
    while (last && !rest.empty()) {
        const auto comma = rest.find(", ");
        std::string item(rest.substr(0, comma));
        rest.remove_prefix(comma == std::string_view::npos ? rest.size() : comma + 2);
        if (!rest.empty()) {
            item += last->second;
        }
        // Pieces of a text have no place of their own.
        Messages local("");
        ValueReader reader(local, made_.context);
        axis.values.push_back(
            reader.read(*axis.entry.key, axis.entry.shown, toml::value<std::string>(item)));
        axis.values.back().place = place_of(node.source());
        axis.texts.push_back(item);
        for (const auto& text_of_error : local.error_texts()) {
            messages_.error(axis.values.back().place, text_of_error);
        }
    }
    refuse_twice(axis);
    if (!last) {
        fault(axis, node, "must be numbers with one unit at the end, such as \"3, 4, 6 mm\"");
    }
}

/// One end of a range: checked like an entry of the file. False where it is at fault.
bool AxesReader::end(SweepAxis& axis, const toml::node& node, double& number) {
    SweepRange& range = *axis.range;
    const auto text = node.value<std::string>();
    const bool bare = node.is_number();
    const auto parts = bare ? std::pair(node.value_or(0.0), std::string{})
                            : number_and_unit(text.value_or("")).value_or(std::pair(NAN, ""));
    Value value = reader_.read(*axis.entry.key, axis.entry.shown, node);
    if (!value.good) {
        return false;
    }
    if (std::isnan(parts.first) || value.numbers.size() != 1 || value.form != Form::plain ||
        axis.entry.key->kind == Kind::flag) {
        fault(axis, node, "a range needs a number at both ends; list other values as [a, b, c]");
        return false;
    }
    if (!axis.values.empty() && (parts.second != range.unit || bare != range.bare)) {
        fault(axis,
              node,
              fmt::format("the other end is in \"{}\"; write both ends in one unit",
                          range.unit.empty() ? "no unit" : range.unit.substr(1)));
        return false;
    }
    range.unit = parts.second;
    range.bare = bare;
    number = parts.first;
    axis.values.push_back(std::move(value));
    return true;
}

void AxesReader::range(SweepAxis& axis, const toml::table& table) {
    const std::vector<std::string> words = {"from", "to", "steps", "step"};
    for (const auto& [name, node] : table) {
        if (std::find(words.begin(), words.end(), name.str()) == words.end()) {
            const auto near = nearest_word(name.str(), words);
            messages_.error(place_of(name.source()),
                            fmt::format("unknown key {} of {}; {}",
                                        name.str(),
                                        axis.entry.shown,
                                        near.empty() ? "a range has from, to and steps or step"
                                                     : fmt::format("did you mean {}?", near)));
            return;
        }
    }
    if (!table.contains("from") || !table.contains("to")) {
        messages_.error(axis.place,
                        fmt::format("{}: a range needs from and to; write e.g. {{ from = \"3 mm\", "
                                    "to = \"10 mm\", steps = 8 }}",
                                    axis.entry.shown));
        return;
    }
    axis.range.emplace();
    if (end(axis, *table.get("from"), axis.range->from) &&
        end(axis, *table.get("to"), axis.range->to)) {
        if (const auto wrong = read_steps(axis.entry, table, *axis.range)) {
            messages_.error(wrong->place, wrong->text);
        }
    }
}

}  // namespace

std::optional<SweepAxes> read_axes(const toml::table& table, Messages& messages) {
    const auto* node = table.get("sweep");
    if (node == nullptr) {
        return std::nullopt;
    }
    SweepAxes made;
    made.place = place_of(node->source());
    made.context = context_of(table);
    const auto* section = node->as_table();
    if (section == nullptr) {
        messages.error(made.place,
                       fmt::format("sweep = {}: is a section; write [sweep] and its keys below it",
                                   short_text(*node)));
        return made;
    }
    Messages ignored("");
    const Scope root = read_scopes(table, ignored);
    AxesReader(root, messages, made).section("", *section);
    std::stable_sort(made.axes.begin(), made.axes.end(), [](const auto& a, const auto& b) {
        const auto rank = [](const Place& p) {
            return std::pair(p.line > 0 ? p.line : 1 << 30, p.column);
        };
        return rank(a.place) < rank(b.place);
    });
    for (std::size_t i = 1; i < made.axes.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            if (made.axes[i].entry.meets(made.axes[j].entry)) {
                messages.error(made.axes[i].place,
                               fmt::format("{}: is swept twice; leave one of them out",
                                           made.axes[i].entry.shown));
            }
        }
    }
    return made;
}

}  // namespace plenair::file
