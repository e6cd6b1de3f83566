#include "cases/file/choose.hpp"

#include "cases/file/build.hpp"
#include "cases/file/free_numbers.hpp"
#include "cases/file/read.hpp"
#include "cases/file/reading.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numeric>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// [choose]: what may vary, what must hold, what is made best.
namespace plenair {
namespace {

using namespace file;

struct MeasureWord {
    const char* word;
    Measure measure;
    const char* shown;
    Dimension dimension;
    bool rig;
};

constexpr std::array measures = {
    MeasureWord{"spread", Measure::spread, "spread", Dimension::ratio, false},
    MeasureWord{"end_bias", Measure::end_bias, "end bias", Dimension::ratio, false},
    MeasureWord{"slot_loss", Measure::slot_loss, "slot loss", Dimension::pressure, false},
    MeasureWord{"total_loss", Measure::total_loss, "total loss", Dimension::pressure, false},
    MeasureWord{"air", Measure::air, "air", Dimension::mass_flow, false},
    MeasureWord{"air_against_present",
                Measure::air_against_present,
                "air against the present design",
                Dimension::ratio,
                false},
    MeasureWord{"air_against_no_slot",
                Measure::air_against_no_slot,
                "air against no slot",
                Dimension::ratio,
                false},
    MeasureWord{"choke_margin", Measure::choke_margin, "choke margin", Dimension::ratio, false},
    MeasureWord{"unevenness", Measure::unevenness, "unevenness", Dimension::ratio, true},
    MeasureWord{"flow", Measure::flow, "flow", Dimension::mass_flow, true}};

constexpr std::array<std::pair<const char*, Aim>, 6> aims = {{{"spread", Aim::spread},
                                                              {"slot_loss", Aim::slot_loss},
                                                              {"total_loss", Aim::total_loss},
                                                              {"air", Aim::air},
                                                              {"front", Aim::front},
                                                              {"evenness", Aim::evenness}}};

/// Everything that is needed to make a design, shared by all threads and never changed.
struct DesignSource {
    std::string path, text;
    std::vector<std::string> sets;
    Scope root;
    geometry::PressureContext context;
    std::vector<FreeEntry> entries;

    [[nodiscard]] Scope changed(const std::vector<double>& numbers) const;
    [[nodiscard]] MadeCase make(const std::vector<double>& numbers) const;
    [[nodiscard]] std::vector<std::string> overrides(const std::vector<double>& numbers) const;
};

std::vector<double> part(const std::vector<double>& numbers, std::size_t first, std::size_t count) {
    const auto begin = numbers.begin() + static_cast<std::ptrdiff_t>(first);
    return {begin, begin + static_cast<std::ptrdiff_t>(count)};
}

Scope DesignSource::changed(const std::vector<double>& numbers) const {
    Scope scope = root;
    // Single numbers first: stations stand along a length that may be one of them.
    for (const bool stations : {false, true}) {
        std::size_t first = 0;
        for (const auto& entry : entries) {
            if ((entry.stations > 0) == stations) {
                assign_numbers(scope, entry, part(numbers, first, entry.size()), context);
            }
            first += entry.size();
        }
    }
    return scope;
}

MadeCase DesignSource::make(const std::vector<double>& numbers) const {
    MadeCase made;
    made.failure = build_or_say(changed(numbers), context.units, made.c);
    return made;
}

std::vector<std::string> DesignSource::overrides(const std::vector<double>& numbers) const {
    const Scope scope = changed(numbers);
    std::vector<std::string> all;
    std::size_t first = 0;
    for (const auto& entry : entries) {
        for (auto& set : sets_of(scope, entry, part(numbers, first, entry.size()))) {
            all.push_back(std::move(set));
        }
        first += entry.size();
    }
    return all;
}

/// "kPa" of "5 kPa".
std::string unit_of(const std::string& text) {
    const auto space = text.find_last_of(" \t");
    const auto at =
        space == std::string::npos ? text.find_first_not_of("+-0123456789.") : space + 1;
    return at >= text.size() ? "kPa" : text.substr(at);
}

/// One cylinder has no spread: a goal of it means nothing.
void refuse_one_cylinder(const Case& c, const std::string& what, Messages& messages) {
    if (c.has_engine && c.engine.cylinder_count() == 1) {
        messages.error({1, 1},
                       what +
                           ": one cylinder gets all the air, so that there is no spread; write "
                           "make_best = \"air\" or \"total_loss\", and limits of these");
    }
}

/// What is wrong with a bound of this size; empty: nothing.
std::string sense_fault(const MeasureWord& measure, double value) {
    const bool of_air = measure.measure == Measure::air_against_present ||
                        measure.measure == Measure::air_against_no_slot;
    // Nobody asks for half of the air: what is meant is what comes on top.
    if (of_air && value < 0.5) {
        const std::string change =
            value == 0 ? "as much"
                       : fmt::format("{} % {}",
                                     geometry::format_number(100 * std::abs(value), 6),
                                     value < 0 ? "less" : "more");
        return fmt::format("100 % is the air {}: write {} % for {}",
                           measure.measure == Measure::air_against_present
                               ? "of the case as it stands"
                               : "without the slot",
                           geometry::format_number(100 * (1 + value), 6),
                           change);
    }
    if (value > 0 || measure.measure == Measure::choke_margin) {
        return "";
    }
    if (measure.measure == Measure::end_bias && value < 0) {
        return fmt::format("end bias is limited either way: write {} % without its sign",
                           geometry::format_number(-100 * value, 6));
    }
    return "must be above 0: nothing real is exactly zero";
}

/// One bound of a limit. Reports where it cannot be read.
std::optional<double> bound_of(const Scope& scope,
                               const std::string& key,
                               const MeasureWord& measure,
                               bool& of_source,
                               Messages& messages) {
    const Value* value = scope.good("choose.limit." + key);
    if (value == nullptr) {
        return std::nullopt;
    }
    const std::string text = value->word();
    Dimension dimension = measure.dimension;
    if (dimension == Dimension::pressure && text.ends_with("%")) {
        dimension = Dimension::ratio;
        of_source = true;
    }
    geometry::PressureContext context;
    context.kind = geometry::PressureKind::difference;
    const auto outcome = geometry::parse_quantity(text, dimension, context);
    if (!outcome.value) {
        refuse(messages,
               *value,
               fmt::format("{}{}; a limit of {} is written like {}",
                           outcome.problem,
                           // The unit alone is no limit.
                           outcome.remedy.empty() || outcome.remedy.starts_with("write \"")
                               ? ""
                               : "; " + outcome.remedy,
                           measure.shown,
                           measure.dimension == Dimension::pressure    ? "\"5 kPa\" or \"2 %\""
                           : measure.dimension == Dimension::mass_flow ? "\"300 g/s\""
                                                                       : "\"2 %\""));
        return std::nullopt;
    }
    if (const std::string fault = sense_fault(measure, *outcome.value); !fault.empty()) {
        refuse(messages, *value, fault);
        return std::nullopt;
    }
    return outcome.value;
}

/// Points of a case, or set-ups of a rig, for which a limit holds.
std::vector<std::size_t> points_of(const Scope& scope, const Case& c, Messages& messages) {
    std::vector<std::size_t> all(c.has_engine ? c.points.size() : c.bench.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    if (!c.has_engine) {
        return all;
    }
    if (const Value* names = scope.good("choose.limit.points")) {
        std::vector<std::size_t> named;
        for (const auto& name : names->words) {
            const auto before = named.size();
            for (std::size_t p = 0; p < c.points.size(); ++p) {
                const bool of_curve =
                    std::any_of(c.curves.begin(), c.curves.end(), [&](const auto& curve) {
                        return curve.name == name && p >= curve.first &&
                               p < curve.first + curve.count;
                    });
                if (of_curve || c.points[p].name == name) {
                    named.push_back(p);
                }
            }
            if (named.size() == before) {
                refuse(messages,
                       *names,
                       fmt::format("there is no point or curve {}; name those of this file", name));
            }
        }
        all = named;
    }
    const auto from = scope.maybe("choose.limit.from"), to = scope.maybe("choose.limit.to");
    constexpr double slack = 1e-9;
    std::erase_if(all, [&](std::size_t p) {
        const double speed = c.points[p].speed;
        return (from && speed < *from * (1 - slack)) || (to && speed > *to * (1 + slack));
    });
    return all;
}

std::string where_text(const Scope& scope, const Case& c, const ChooseLimit& limit) {
    if (!c.has_engine) {
        return "";
    }
    if (limit.points.size() == c.points.size()) {
        return " at all points";
    }
    std::vector<std::string> names;
    for (const std::size_t p : limit.points) {
        names.push_back(c.points[p].name);
    }
    const Value* from = scope.good("choose.limit.from");
    const Value* to = scope.good("choose.limit.to");
    if (names.size() <= 6) {
        return fmt::format(" at {}", fmt::join(names, ", "));
    }
    return fmt::format("{}{} ({} points)",
                       from ? " from " + from->text : std::string(),
                       to ? " to " + to->text : std::string(),
                       names.size());
}

void read_limit(const Scope& scope, ChoosePlan& plan, Messages& messages) {
    const Value* of = scope.good("choose.limit.of");
    if (of == nullptr) {
        return;
    }
    const auto* measure = std::find_if(
        measures.begin(), measures.end(), [&](const auto& m) { return of->word() == m.word; });
    const Case& c = plan.base;
    if (measure->rig == c.has_engine) {
        refuse(messages,
               *of,
               c.has_engine ? "is of a rig; a case with [engine] limits spread, end_bias, losses, "
                              "air or choke_margin"
                            : "needs [engine]; a rig limits unevenness or flow");
        return;
    }
    ChooseLimit limit;
    limit.of = measure->measure;
    limit.most = bound_of(scope, "most", *measure, limit.of_source, messages);
    limit.least = bound_of(scope, "least", *measure, limit.of_source, messages);
    if (measure->dimension == Dimension::pressure && !limit.of_source &&
        (limit.most || limit.least)) {
        limit.unit =
            unit_of(scope.find(limit.most ? "choose.limit.most" : "choose.limit.least")->word());
    }
    if (limit.of == Measure::spread || limit.of == Measure::end_bias) {
        refuse_one_cylinder(c, fmt::format("{}: {}", scope.shown, measure->shown), messages);
    }
    if (scope.find("choose.limit.most") == nullptr && scope.find("choose.limit.least") == nullptr) {
        messages.error(
            scope.place,
            fmt::format("{}: neither most nor least; write e.g. most = \"2 %\"", scope.shown));
        return;
    }
    if (limit.most && limit.least && !(*limit.least < *limit.most)) {
        refuse(messages,
               *scope.find("choose.limit.most"),
               fmt::format("is not above least = {}: nothing can meet both; exchange them",
                           scope.find("choose.limit.least")->text));
        return;
    }
    if (limit.of == Measure::choke_margin && limit.least && !(*limit.least < 1)) {
        refuse(messages,
               *scope.find("choose.limit.least"),
               "no flow has a choke margin of 100 % or more: that is still air; write e.g. 20 %");
        return;
    }
    limit.points = points_of(scope, c, messages);
    if (limit.points.empty()) {
        if (!messages.any_error()) {
            const Value* names = scope.good("choose.limit.points");
            messages.error(scope.place,
                           fmt::format("{}: {}",
                                       scope.shown,
                                       names != nullptr && names->words.empty()
                                           ? "points names none; take it out for all points"
                                           : "no point of the case lies between from and to; "
                                             "widen them"));
        }
        return;
    }
    const auto text_of = [&](const char* word, const char* key) {
        const Value* value = scope.good(std::string("choose.limit.") + key);
        return value ? fmt::format(" {} {}", word, value->text) : std::string();
    };
    const std::string both = limit.most && limit.least ? " and" : "";
    limit.text = fmt::format("{}{}{}{}{}",
                             measure->shown,
                             text_of("at least", "least"),
                             both,
                             text_of("at most", "most"),
                             where_text(scope, c, limit));
    plan.limits.push_back(std::move(limit));
}

void read_aim(const Scope& root, ChoosePlan& plan, Messages& messages) {
    plan.seed = static_cast<std::uint64_t>(root.number("choose.seed"));
    plan.aim = plan.base.has_engine ? Aim::spread : Aim::evenness;
    const Value* word = root.good("choose.make_best");
    for (const auto& [name, aim] : aims) {
        if (word != nullptr && word->word() == name) {
            plan.aim = aim;
        }
    }
    if (word != nullptr && (plan.aim == Aim::evenness) == plan.base.has_engine) {
        refuse(messages,
               *word,
               plan.base.has_engine ? "is of a rig; of an engine write make_best = \"spread\""
                                    : "needs [engine]; of a rig write make_best = \"evenness\"");
    }
    if (plan.aim == Aim::spread || plan.aim == Aim::front) {
        refuse_one_cylinder(plan.base, "choose.make_best: spread", messages);
    }
}

void add_numbers(const DesignSource& source, ChoosePlan& plan) {
    for (std::size_t e = 0; e < source.entries.size(); ++e) {
        const auto& entry = source.entries[e];
        const std::size_t first = plan.numbers.size();
        for (auto& number : free_numbers(source.root, entry, source.context)) {
            number.entry = e;
            if (entry.stations > 0) {
                number.place = static_cast<double>(plan.numbers.size() - first) /
                               static_cast<double>(entry.stations - 1);
            }
            plan.numbers.push_back(std::move(number));
        }
        if (!entry.slope) {
            continue;
        }
        const auto places = station_places(source.root, entry);
        for (std::size_t i = 1; i < places.size(); ++i) {
            plan.stations.push_back(
                {first + i - 1, first + i, *entry.slope * (places[i] - places[i - 1])});
        }
    }
}

void check_case(const Case& c, Messages& messages) {
    if (c.has_engine && c.points.empty()) {
        messages.error({1, 1}, "no [[point]] and no [[curve]]: choose needs at least one");
    } else if (!c.has_engine && c.bench.empty()) {
        messages.error({1, 1}, "neither [engine] nor anything for a bench: nothing to choose for");
    }
}

}  // namespace

ChoosePlan file::choose_of(const CaseReading& reading) {
    auto source = std::make_shared<DesignSource>();
    source->path = reading.path;
    source->sets = reading.sets;
    source->text = reading.text;
    source->root = reading.root;
    source->context = context_of(*reading.table);
    ChoosePlan plan;
    plan.base = reading.c;
    Messages messages = reading.messages();
    check_case(plan.base, messages);
    const auto* vary = reading.table->at_path("choose.vary").as_table();
    if (vary == nullptr || vary->empty()) {
        messages.error({1, 1},
                       "no [choose.vary]: name what may change, e.g. \"slot.width\" = { from = \"3 "
                       "mm\", to = \"10 mm\", step = \"0.1 mm\" }");
    } else {
        source->entries =
            read_free_entries(source->root, "choose.vary", *vary, source->context, messages);
    }
    read_aim(source->root, plan, messages);
    for (const auto& scope : source->root.list("choose.limit")) {
        read_limit(scope, plan, messages);
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    add_numbers(*source, plan);
    plan.make = [source](const auto& numbers) { return source->make(numbers); };
    plan.tolerances = [source](const auto& numbers) {
        auto all = source->sets;
        for (auto& set : source->overrides(numbers)) {
            all.push_back(std::move(set));
        }
        return parse_tolerance(source->text, source->path, all);
    };
    plan.sets = [source](const auto& numbers) { return source->overrides(numbers); };
    plan.read = [source](const auto& numbers) {
        auto all = source->sets;
        for (auto& set : source->overrides(numbers)) {
            all.push_back(std::move(set));
        }
        return parse_case(source->text, source->path, all);
    };
    return plan;
}

ChoosePlan parse_choose(std::string_view text,
                        std::string path,
                        const std::vector<std::string>& sets) {
    return file::choose_of(file::read_once(text, std::move(path), sets));
}

ChoosePlan read_choose(const std::string& path, const std::vector<std::string>& sets) {
    return parse_choose(read_text(path), shown_path(path), sets);
}

}  // namespace plenair
