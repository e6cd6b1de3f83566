#include "cases/file/assumed.hpp"

#include "cases/file/build.hpp"
#include "cases/file/normalise.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {
namespace {

constexpr std::string_view basis_example = "write e.g. engine.rod = \"common practice\"";

/// Half width of a band: part of the value, or in its own units.
struct HalfWidth {
    double number = 0;
    bool relative = false;
};

/// "engine.rod" of the nested tables that dotted keys make.
void collect(const toml::table& table,
             const std::string& path,
             std::vector<AssumedEntry>& entries,
             Messages& messages) {
    for (const auto& [name, node] : table) {
        AssumedEntry entry;
        entry.key = join_keys(path, name.str());
        entry.place = place_of(name.source());
        const auto refuse_entry = [&](const std::string& fault) {
            messages.error(entry.place, fmt::format("assumed.{}: {}", entry.key, fault));
        };
        if (const auto text = node.value<std::string>()) {
            entry.basis = *text;
        } else if (const auto* inner = node.as_table(); inner && !inner->contains("basis")) {
            collect(*inner, entry.key, entries, messages);
            continue;
        } else if (inner) {
            entry.basis = (*inner)["basis"].value<std::string>().value_or("");
            for (const auto& [part, value] : *inner) {
                if (part.str() == "within" && value.is_string()) {
                    entry.within = *value.value<std::string>();
                } else if (part.str() != "basis") {
                    refuse_entry(fmt::format(
                        "{} = {}: only basis and within stand here, each as text in quotes; leave "
                        "it out",
                        part.str(),
                        short_text(value)));
                }
            }
        }
        if (entry.basis.empty()) {
            refuse_entry(fmt::format("says no basis; {}", basis_example));
        } else {
            entries.push_back(std::move(entry));
        }
    }
}

bool is_meant(const Value& value, std::string_view key) {
    return value.shown == key || value.key->name == key;
}

template <class F>
void for_each_value(Scope& scope, const F& f) {
    for (auto& [name, value] : scope.values) {
        f(value);
    }
    for (auto& [name, list] : scope.children) {
        for (auto& child : list) {
            for_each_value(child, f);
        }
    }
}

bool has_numbers(const Key& key) {
    return key.kind == Kind::number || key.kind == Kind::numbers || key.kind == Kind::quantity ||
           key.kind == Kind::quantities || key.kind == Kind::profile || key.kind == Kind::taper ||
           key.kind == Kind::table;
}

bool is_event(Dimension dimension) {
    return dimension == Dimension::intake_event || dimension == Dimension::exhaust_event ||
           dimension == Dimension::firing_event;
}

std::string width_example(const Key& key) {
    if (is_event(key.dimension)) {
        return "write e.g. within = \"10 deg\"";
    }
    return "write e.g. within = \"10 %\"";
}

/// Of "10 %" or "3 mm" for an entry.
std::optional<HalfWidth> half_width(const Key& key, const std::string& text, std::string& fault) {
    if (!has_numbers(key)) {
        fault = "this entry has no number that could be off; leave within out";
        return std::nullopt;
    }
    const bool relative = text.ends_with('%') && key.dimension != Dimension::ratio;
    const Dimension dimension = relative                  ? Dimension::ratio
                                : is_event(key.dimension) ? Dimension::angle
                                                          : key.dimension;
    geometry::PressureContext context;
    context.kind = geometry::PressureKind::difference;
    const auto outcome = geometry::parse_quantity(text, dimension, context);
    const bool celsius =
        dimension == Dimension::temperature && text.find("deg") != std::string::npos;
    if (!outcome.value || (relative && is_event(key.dimension)) || celsius) {
        fault = fmt::format(
            "within = \"{}\" is no half width here; {}",
            text,
            celsius ? "a difference of temperature is written in K" : width_example(key));
        return std::nullopt;
    }
    if (!(*outcome.value > 0) || (relative && *outcome.value >= 1)) {
        fault = fmt::format("within = \"{}\" must be above 0{}; {}",
                            text,
                            relative ? " and below 100 %" : "",
                            width_example(key));
        return std::nullopt;
    }
    return HalfWidth{*outcome.value, relative};
}

void move(Value& value, const HalfWidth& width, bool high) {
    const bool coefficient = value.key->kind == Kind::table && value.key->choices.ends_with("|cd");
    const double sign = high ? 1 : -1;
    for (auto* numbers : {&value.numbers, &value.ends}) {
        for (double& number : *numbers) {
            number += sign * (width.relative ? width.number * std::abs(number) : width.number);
            if (coefficient) {
                number = std::min(number, 1.0);
            }
        }
    }
}

/// The whole case with one entry moved to an end of its band.
std::shared_ptr<const Case> moved_case(const Scope& root,
                                       const std::string& key,
                                       const HalfWidth& width,
                                       bool high,
                                       Messages& messages) {
    Scope moved = root;
    moved.assumed.clear();
    bool positive = true;
    for_each_value(moved, [&](Value& value) {
        if (is_meant(value, key)) {
            const bool was = value.number() > 0;
            move(value, width, high);
            positive = positive && (!was || value.number() > 0);
        }
    });
    auto c = std::make_shared<Case>();
    if (!positive) {
        messages.error({}, "it reaches 0");
        return nullptr;
    }
    build_case(moved, *c, messages);
    return messages.any_error() ? nullptr : c;
}

std::string fallback_text(const Key& key) {
    std::string text(key.fallback);
    text.erase(std::remove(text.begin(), text.end(), '"'), text.end());
    return text;
}

/// Value of the entries meant, each once; empty where the case has none of them.
std::string shown_values(const Scope& root,
                         const AssumedEntry& entry,
                         const geometry::OutputUnits& units,
                         const Key*& key) {
    std::vector<std::string> shown;
    for (const Value* value : all_values(root)) {
        if (is_meant(*value, entry.key) && value->good) {
            key = value->key;
            if (auto text = normalised(*value, units);
                std::find(shown.begin(), shown.end(), text) == shown.end()) {
                shown.push_back(std::move(text));
            }
        }
    }
    std::string all;
    for (const auto& text : shown) {
        all += (all.empty() ? "" : "; ") + text;
    }
    return all;
}

void report_missing(const AssumedEntry& entry, Messages& messages) {
    const Key* known = find_key(entry.key);
    const std::string near = known ? std::string{} : nearest_key(entry.key);
    messages.error(entry.place,
                   fmt::format("assumed.{}: the case has no such entry; {}",
                               entry.key,
                               known          ? "write the entry, or delete this line"
                               : near.empty() ? "name one of its entries, or delete this line"
                                              : fmt::format("did you mean {}?", near)));
}

std::string warning_of(std::size_t count) {
    return fmt::format(
        "assumed: {} that nobody has confirmed; plenair check says on what each rests: measure or "
        "decide it, then delete its line",
        count == 1 ? "1 entry" : fmt::format("{} entries", count));
}

}  // namespace

std::vector<AssumedEntry> read_assumed(const toml::table& table, Messages& messages) {
    std::vector<AssumedEntry> entries;
    if (const auto* node = table.get("assumed")) {
        if (const auto* section = node->as_table()) {
            collect(*section, "", entries, messages);
        } else {
            messages.error(place_of(node->source()),
                           fmt::format("assumed = {}: is a section; write [assumed] and below it "
                                       "the entries, e.g. engine.rod = \"common practice\"",
                                       short_text(*node)));
        }
    }
    std::sort(entries.begin(), entries.end(), [](const auto& a, const auto& b) {
        return std::pair(a.place.line, a.place.column) < std::pair(b.place.line, b.place.column);
    });
    constexpr std::size_t most = 1000;  // more than any case has entries
    if (entries.size() > most) {
        messages.error(entries[most].place,
                       fmt::format("assumed: {} entries; at most {} are read: take the others out",
                                   entries.size(),
                                   most));
        entries.clear();
    }
    return entries;
}

void build_assumed(const Scope& root, Case& c, Messages& messages) {
    c.assumed.clear();
    if (root.assumed.empty()) {
        return;
    }
    std::shared_ptr<const Scope> kept;
    for (const auto& entry : root.assumed) {
        const Key* key = nullptr;
        Assumption assumption{
            entry.key, shown_values(root, entry, c.units, key), entry.basis, entry.within};
        if (key == nullptr) {
            const Key* known = find_key(entry.key);
            if (known == nullptr || known->fallback.empty() || !entry.within.empty()) {
                report_missing(entry, messages);
                continue;
            }
            assumption.value = fallback_text(*known) + " (default)";
        }
        if (!entry.within.empty()) {
            std::string fault;
            const auto width = half_width(*key, entry.within, fault);
            if (!width) {
                messages.error(entry.place, fmt::format("assumed.{}: {}", entry.key, fault));
                continue;
            }
            (width->relative ? assumption.part : assumption.half) = width->number;
            kept = kept ? kept : std::make_shared<const Scope>(root);
            assumption.end = [kept, name = entry.key, width = *width](bool high) {
                Messages ignored("");
                return moved_case(*kept, name, width, high, ignored);
            };
        }
        c.assumed.push_back(std::move(assumption));
    }
    if (!c.assumed.empty()) {
        messages.warning(root.assumed.front().place, warning_of(c.assumed.size()));
    }
}

void check_assumed(const Scope& root, const Case& c, Messages& messages) {
    for (const auto& entry : root.assumed) {
        const auto found = std::find_if(
            c.assumed.begin(), c.assumed.end(), [&](const auto& a) { return a.key == entry.key; });
        for (const bool high : {false, true}) {
            if (found != c.assumed.end() && found->end && !found->end(high)) {
                messages.error(entry.place,
                               fmt::format("assumed.{}: within = \"{}\": the {} end of this band "
                                           "makes no engine; make it narrower",
                                           entry.key,
                                           entry.within,
                                           high ? "high" : "low"));
            }
        }
    }
}

}  // namespace plenair::file
