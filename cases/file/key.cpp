#include "cases/file/key.hpp"

#include "cases/file/keys_goal.hpp"
#include "geometry/nearest_word.hpp"

#include <algorithm>
#include <array>

namespace plenair::file {
namespace {

/// What people call an entry whose name is far from that: the trade has several words for most.
struct OtherName {
    std::string_view typed;
    std::string_view key;
};

constexpr std::array other_names{
    OtherName{"throttle.diameter", "throttle.bore"},
    OtherName{"throttle.size", "throttle.bore"},
    OtherName{"throttle.angle", "point.throttle_angle"},
    OtherName{"pre_chamber.bore", "pre_chamber.diameter"},
    OtherName{"pre_chamber.section", "pre_chamber.area"},
    OtherName{"pre_chamber.volume", "pre_chamber.area"},
    OtherName{"plenum.bore", "plenum.diameter"},
    OtherName{"plenum.section", "plenum.area"},
    OtherName{"plenum.volume", "plenum.area"},
    OtherName{"slot.thickness", "slot.land"},
    OtherName{"slot.depth", "slot.land"},
    OtherName{"slot.radius", "slot.edge_radius"},
    OtherName{"slot.height", "slot.width"},
    OtherName{"slot.gap", "slot.width"},
    OtherName{"slot.start", "slot.x"},
    OtherName{"runner.bore", "runner.diameter"},
    OtherName{"runner.position", "runner.x"},
    OtherName{"runner.bell", "runner.bell_radius"},
    OtherName{"runner.taper", "runner.diameter"},
    OtherName{"valve.intake.diameter", "valve.intake.head"},
    OtherName{"valve.exhaust.diameter", "valve.exhaust.head"},
    OtherName{"valve.intake.max_lift", "valve.intake.lift"},
    OtherName{"valve.exhaust.max_lift", "valve.exhaust.lift"},
    OtherName{"valve.intake.ivo", "valve.intake.opens"},
    OtherName{"valve.intake.ivc", "valve.intake.closes"},
    OtherName{"valve.exhaust.evo", "valve.exhaust.opens"},
    OtherName{"valve.exhaust.evc", "valve.exhaust.closes"},
    OtherName{"engine.cr", "engine.compression_ratio"},
    OtherName{"engine.cylinders", "engine.firing_order"},
    OtherName{"engine.order", "engine.firing_order"},
    OtherName{"engine.conrod", "engine.rod"},
    OtherName{"engine.connecting_rod", "engine.rod"},
    OtherName{"engine.redline", "engine.max_speed"},
    OtherName{"engine.bore_spacing", "engine.pitch"},
    OtherName{"point.rpm", "point.speed"},
    OtherName{"point.boost", "point.pressure"},
    OtherName{"point.map", "point.pressure"},
    OtherName{"point.afr", "point.air_fuel_ratio"},
    OtherName{"point.back_pressure", "point.exhaust_pressure"},
    OtherName{"bench.lift", "bench.lifts"},
    OtherName{"throttle.diffuser", "throttle.recovery"},
    OtherName{"fuel.afr", "fuel.stoich"},
    OtherName{"site.pressure", "site.barometer"},
    OtherName{"site.altitude", "site.barometer"},
};

std::vector<Key> make_table() {
    std::vector<Key> table;
    add_engine_keys(table);
    add_intake_keys(table);
    add_runner_keys(table);
    add_point_keys(table);
    add_curve_keys(table);
    add_exhaust_keys(table);
    add_unsteady_keys(table);
    add_fuel_keys(table);
    add_model_keys(table);
    add_sweep_keys(table);
    add_choose_keys(table);
    add_tolerance_keys(table);
    add_learned_keys(table);
    return table;
}

}  // namespace

Dimension column_dimension(std::string_view name) {
    return name == "angle"      ? Dimension::angle
           : name == "lift"     ? Dimension::length
           : name == "pressure" ? Dimension::pressure
           : name == "time"     ? Dimension::time
                                : Dimension::none;
}

KeyTable::KeyTable(std::vector<Key> keys, std::vector<SectionDoc> sections, std::string_view manual)
    : keys_(std::move(keys)), sections_(std::move(sections)), manual_(manual) {
    for (const Key& key : keys_) {
        by_name_.emplace(key.name, &key);
        if (key.required) {
            required_.push_back(&key);
        }
        words_.emplace_back(key.name);
        for (auto dot = key.name.find('.'); dot != std::string_view::npos;
             dot = key.name.find('.', dot + 1)) {
            words_.emplace_back(key.name.substr(0, dot));
            section_names_.insert(key.name.substr(0, dot));
        }
    }
    // What people call an entry may be misspelt as well.
    for (const auto& other : other_names) {
        if (find(other.key) != nullptr) {
            words_.emplace_back(other.typed);
        }
    }
}

const Key* KeyTable::find(std::string_view name) const {
    const auto found = by_name_.find(name);
    return found == by_name_.end() ? nullptr : found->second;
}

bool KeyTable::is_section(std::string_view name) const {
    return section_names_.contains(name);
}

std::string KeyTable::nearest(std::string_view name) const {
    // Longer keys are not worth a comparison: no key of the table is that long.
    if (constexpr std::size_t longest = 80; name.size() > longest) {
        return {};
    }
    const auto other = std::find_if(other_names.begin(), other_names.end(), [&](const auto& o) {
        return o.typed == name && (find(o.key) != nullptr);
    });
    if (other != other_names.end()) {
        return std::string(other->key);
    }
    const std::string near = geometry::nearest_word(name, words_);
    const auto meant = std::find_if(
        other_names.begin(), other_names.end(), [&](const auto& o) { return o.typed == near; });
    return meant != other_names.end() && find(near) == nullptr ? std::string(meant->key) : near;
}

const KeyTable& case_table() {
    static const KeyTable table(make_table(), section_docs(), "docs/case-file.md");
    return table;
}

const KeyTable& measured_table() {
    static const KeyTable table(
        [] {
            std::vector<Key> keys;
            add_measured_keys(keys);
            return keys;
        }(),
        measured_section_docs(),
        "docs/measured-file.md");
    return table;
}

const std::vector<Key>& keys() {
    return case_table().keys();
}

const Key* find_key(std::string_view name) {
    return case_table().find(name);
}

bool is_section(std::string_view name) {
    return case_table().is_section(name);
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& words) {
    return geometry::nearest_word(word, words);
}

std::string nearest_key(std::string_view name) {
    return case_table().nearest(name);
}

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    while (true) {
        const auto at = text.find(separator);
        parts.emplace_back(text.substr(0, at));
        if (at == std::string_view::npos) {
            return parts;
        }
        text.remove_prefix(at + 1);
    }
}

}  // namespace plenair::file
