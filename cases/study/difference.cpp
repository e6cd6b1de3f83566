#include "cases/study/difference.hpp"

#include "geometry/places.hpp"

#include "cases/study/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace plenair {

namespace {

double change_of(double before, double after, ChangeKind kind) {
    if (kind == ChangeKind::of_mean_air) {
        return after - before;
    }
    const double scale = std::abs(before) > 0 ? std::abs(before) : std::abs(after);
    return scale > 0 ? (after - before) / scale : 0.0;
}

/// Adds what moved by more than is worth a line.
template <class Result>
void add_changes(DifferenceResult& result,
                 const OutputChange& place,
                 const std::vector<Quantity<Result>>& quantities,
                 const Result& before,
                 const Result& after) {
    for (const auto& quantity : quantities) {
        if (quantity.change == ChangeKind::not_compared) continue;
        ++result.compared;
        OutputChange change = place;
        change.name = quantity.name;
        change.text = quantity.words + place.text;
        change.unit = quantity.unit;
        change.units = quantity.units;
        change.kind = quantity.change;
        change.before = before.*quantity.member;
        change.after = after.*quantity.member;
        change.change = change_of(change.before, change.after, change.kind);
        change.band = quantity.change == ChangeKind::of_mean_air ? place.band : 0.0;
        if (std::abs(change.change) > reported_change) {
            result.outputs.push_back(std::move(change));
        }
    }
}

void compare_point(DifferenceResult& result, const PointResult& a, const PointResult& b) {
    OutputChange place;
    place.point = a.name;
    place.band =
        a.bias_band > 0 && b.bias_band > 0 ? std::max(a.bias_band, b.bias_band) : variant_band;
    add_changes(result, place, point_quantities(), a, b);
    for (const auto& cylinder : a.cylinders) {
        const auto other = std::find_if(b.cylinders.begin(), b.cylinders.end(), [&](const auto& c) {
            return c.cylinder == cylinder.cylinder;
        });
        if (other != b.cylinders.end()) {
            place.cylinder = cylinder.cylinder;
            add_changes(result, place, cylinder_quantities(), cylinder, *other);
        }
    }
    place.cylinder = 0;
    for (const auto& bank : a.banks) {
        const auto other = std::find_if(b.banks.begin(), b.banks.end(), [&](const auto& each) {
            return each.name == bank.name;
        });
        if (!bank.name.empty() && other != b.banks.end()) {
            place.text = " in " + geometry::bank_words(bank.name);
            add_changes(result, place, bank_quantities(), bank, *other);
        }
    }
}

const PointResult* point_named(const SolveResult& result, const std::string& name) {
    const auto at = std::find_if(result.points.begin(),
                                 result.points.end(),
                                 [&](const auto& point) { return point.name == name; });
    return at == result.points.end() ? nullptr : &*at;
}

void compare_points(DifferenceResult& result, const Revision& before, const Revision& after) {
    for (const auto& point : before.result.points) {
        const PointResult* other = point_named(after.result, point.name);
        if (other == nullptr) {
            result.warnings.push_back(
                fmt::format("point {} is only in {}", point.name, before.path));
        } else if (!point.converged || !other->converged) {
            result.warnings.push_back(fmt::format("point {} did not converge in {}: left out",
                                                  point.name,
                                                  !point.converged ? before.path : after.path));
        } else {
            compare_point(result, point, *other);
        }
    }
    for (const auto& point : after.result.points) {
        if (point_named(before.result, point.name) == nullptr) {
            result.warnings.push_back(
                fmt::format("point {} is only in {}", point.name, after.path));
        }
    }
}

using EchoEntry = std::pair<std::string, std::string>;

std::vector<EchoEntry> entries_of(const std::vector<std::string>& echo) {
    std::vector<EchoEntry> entries;
    for (const auto& line : echo) {
        const auto equals = line.find(" = ");
        entries.emplace_back(line.substr(0, equals),
                             equals == std::string::npos ? "" : line.substr(equals + 3));
    }
    return entries;
}

void compare_inputs(DifferenceResult& result, const Revision& before, const Revision& after) {
    const auto first = entries_of(before.echo), second = entries_of(after.echo);
    const std::map<std::string, std::string> old(first.begin(), first.end());
    const std::map<std::string, std::string> fresh(second.begin(), second.end());
    for (const auto& [key, text] : first) {
        const auto other = fresh.find(key);
        if (other == fresh.end()) {
            result.inputs.push_back({key, text, ""});
        } else if (other->second != text) {
            result.inputs.push_back({key, text, other->second});
        }
    }
    for (const auto& [key, text] : second) {
        if (old.find(key) == old.end()) {
            result.inputs.push_back({key, "", text});
        }
    }
}

void warn_of_engines(DifferenceResult& result, const Revision& before, const Revision& after) {
    std::string keys;
    for (const auto& input : result.inputs) {
        if (input.key.starts_with("engine.") || input.key.starts_with("valve.")) {
            keys += (keys.empty() ? "" : ", ") + input.key;
        }
    }
    const auto cylinders = [](const Revision& r) {
        return r.result.points.empty() ? 0 : r.result.points.front().cylinders.size();
    };
    if (!keys.empty() || cylinders(before) != cylinders(after)) {
        result.warnings.push_back(fmt::format(
            "these are different engines ({}): not two revisions of one intake; read the outputs "
            "as two designs",
            keys.empty() ? fmt::format("{} and {} cylinders", cylinders(before), cylinders(after))
                         : keys));
    }
}

void warn_of_files(DifferenceResult& result, const Revision& before, const Revision& after) {
    for (const auto* side : {&before, &after}) {
        if (!side->echo_fault.empty()) {
            result.warnings.push_back(
                fmt::format("the entries of {} are not known: {}", side->path, side->echo_fault));
        }
    }
    if (before.version != after.version) {
        result.warnings.push_back(
            fmt::format("computed by plenair {} and {}: a change may come from the program",
                        before.version,
                        after.version));
    }
}

std::string summarise(const DifferenceResult& result) {
    const auto inside = std::count_if(result.outputs.begin(),
                                      result.outputs.end(),
                                      [](const auto& output) { return output.inside_band(); });
    const auto banded = std::count_if(result.outputs.begin(),
                                      result.outputs.end(),
                                      [](const auto& output) { return output.band > 0; });
    auto text = fmt::format("{} input{} changed; {} of {} outputs moved by more than 0.1 %",
                            result.inputs.size(),
                            result.inputs.size() == 1 ? "" : "s",
                            result.outputs.size(),
                            result.compared);
    if (banded > 0) {
        text += fmt::format(
            "; {} of the {} biases and spreads among them stay inside their band", inside, banded);
    }
    return text;
}

}  // namespace

DifferenceResult difference(const Revision& before, const Revision& after) {
    DifferenceResult result;
    result.before_path = before.path;
    result.after_path = after.path;
    result.before_title = before.result.title;
    result.after_title = after.result.title;
    result.before_digest = before.result.case_digest;
    result.after_digest = after.result.case_digest;
    result.before_version = before.version;
    result.after_version = after.version;
    warn_of_files(result, before, after);
    if (before.echo_fault.empty() && after.echo_fault.empty()) {
        compare_inputs(result, before, after);
    }
    warn_of_engines(result, before, after);
    compare_points(result, before, after);
    if (result.inputs.empty() && result.before_digest != result.after_digest &&
        before.echo_fault.empty() && after.echo_fault.empty()) {
        result.warnings.emplace_back("the entries differ beyond their sixth digit only");
    }
    result.summary = summarise(result);
    return result;
}

}  // namespace plenair
