#include "cases/store/check_solve.hpp"
#include "cases/store/read_solve_file.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "cases/study/no_file.hpp"
#include "cases/study/quantities.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>
#include <string_view>
#include <system_error>

namespace plenair {

namespace {

using Json = nlohmann::ordered_json;
using Values = std::vector<double>;

/// A number, 0 where it is null: of a point that did not converge, and what was not computed. A
/// missing entry is a fault.
double number(const Json& json, const std::string& name) {
    const auto& found = json.at(name);
    return found.is_null() ? 0.0 : found.get<double>();
}

/// A list; what is none, null too, is a fault.
const Json& list(const Json& json, const char* name) {
    const auto& found = json.at(name);
    if (!found.is_array()) {
        throw Json::type_error::create(302, fmt::format("{} is no list", name), &json);
    }
    return found;
}

/// A quantity from its field, or from one of an object where the name has a dot: "loss_pa.slot".
/// What a point that did not converge does not have stays 0.
template <class Result>
void read(const Json& json, const Quantity<Result>& quantity, bool converged, Result& result) {
    if (quantity.shown != Shown::always && !converged) return;
    const std::string name = quantity.json;
    if (quantity.younger && !json.contains(name)) return;
    const auto dot = name.find('.');
    const Json& holder = dot == std::string::npos ? json : json.at(name.substr(0, dot));
    const std::string own = dot == std::string::npos ? name : name.substr(dot + 1);
    const bool may_lack =
        !converged || quantity.shown == Shown::with_band || quantity.shown == Shown::with_no_slot;
    result.*quantity.member =
        quantity.from_exchanged(may_lack ? number(holder, own) : holder.at(own).get<double>());
}

std::string text(const Json& json, const char* name) {
    return json.at(name).get<std::string>();
}

/// A number that is written in this unit. [SI]
double number_in(const Json& json, const char* name, const char* unit) {
    return geometry::from_unit(number(json, name), unit);
}

Values numbers(const Json& json, const char* name) {
    Values values;
    for (const auto& value : list(json, name)) {
        values.push_back(value.is_null() ? 0.0 : value.get<double>());
    }
    return values;
}

CylinderResult read_cylinder(const Json& json, bool converged) {
    CylinderResult c;
    c.cylinder = whole_from(json.at("cylinder"));
    c.firing_position = whole_from(json.at("firing_position"));
    for (const auto& quantity : cylinder_quantities()) read(json, quantity, converged, c);
    return c;
}

void read_profiles(const Json& json, PointResult& point) {
    for (const auto& p : list(json, "pressures")) {
        point.pressures.push_back({text(p, "part"),
                                   numbers(p, "x_m"),
                                   numbers(p, "mean_pa"),
                                   numbers(p, "low_pa"),
                                   numbers(p, "high_pa")});
    }
    for (const auto& slot : list(json, "slots")) {
        point.slots.push_back({numbers(slot, "x_m"),
                               numbers(slot, "flow_per_length_kg_s_m"),
                               slot.value("bank", std::string())});
    }
    if (!json.contains("traces")) return;
    point.crank_angle = numbers(json, "crank_angle_rad");
    for (const auto& trace : list(json, "traces")) {
        point.traces.push_back({text(trace, "quantity"),
                                trace.contains("cylinder") ? whole_from(trace.at("cylinder")) : 0,
                                text(trace, "unit"),
                                numbers(trace, "value")});
    }
}

BankResult read_bank(const Json& json, bool converged) {
    BankResult bank;
    bank.name = text(json, "bank");
    bank.cylinders = whole_numbers_from(json.at("cylinders_along_x"));
    bank.first = whole_numbers_from(json.at("cylinders_at_start"));
    bank.last = whole_numbers_from(json.at("cylinders_at_far_end"));
    for (const auto& quantity : bank_quantities()) read(json, quantity, converged, bank);
    return bank;
}

/// Banks and which cylinder belongs to which; older files have none.
void read_banks(const Json& json, PointResult& point) {
    if (!json.contains("banks")) return;
    for (const auto& bank : list(json, "banks")) {
        point.banks.push_back(read_bank(bank, point.converged));
        for (auto& c : point.cylinders) {
            const auto& row = point.banks.back().cylinders;
            if (std::find(row.begin(), row.end(), c.cylinder) != row.end()) {
                c.bank = static_cast<int>(point.banks.size()) - 1;
            }
        }
    }
}

PointResult read_point(const Json& json) {
    PointResult point;
    point.name = json.at("name").get<std::string>();
    point.converged = json.at("converged").get<bool>();
    if (!point.converged) point.failure = text(json, "failure");
    point.cycles = whole_from(json.at("cycles"));
    for (const auto& quantity : point_quantities()) {
        read(json, quantity, point.converged, point);
    }
    for (const auto& c : list(json, "cylinders")) {
        point.cylinders.push_back(read_cylinder(c, point.converged));
    }
    if (json.contains("band_parts")) {
        for (const auto& part : list(json, "band_parts")) {
            auto& read_part = point.band_parts.emplace_back();
            read_part.name = text(part, "name");
            for (const auto& quantity : band_part_quantities()) {
                read(part, quantity, true, read_part);
            }
        }
    }
    read_banks(json, point);
    read_profiles(json, point);
    point.notes = json.at("notes").get<std::vector<std::string>>();
    return point;
}

CurveResult read_curve(const Json& json, const std::vector<PointResult>& points) {
    CurveResult curve;
    curve.name = json.at("name").get<std::string>();
    const auto names = json.at("points").get<std::vector<std::string>>();
    const auto first = std::find_if(points.begin(), points.end(), [&](const auto& point) {
        return !names.empty() && point.name == names.front();
    });
    curve.first = static_cast<std::size_t>(first - points.begin());
    curve.count = std::min(names.size(), points.size() - curve.first);
    if (const auto worst = json.find("worst"); worst != json.end() && !worst->is_null()) {
        curve.worst = read_point(*worst);
        curve.speed_uncertainty = number_in(json, "worst_speed_known_to_rpm", "rpm");
        curve.spread_gain = number_in(json, "worst_above_steps_percent", "%");
    }
    return curve;
}

void read_reasons(const Json& json, Reasons& reasons) {
    reasons.point = text(json, "point");
    reasons.words = text(json, "words");
    reasons.spread = number_in(json, "spread_percent", "%");
    reasons.rest = number_in(json, "rest_spread_percent", "%");
    for (const auto& part : list(json, "causes")) {
        reasons.parts.push_back({text(part, "name"), number_in(part, "spread_percent", "%")});
    }
    for (const auto& each : list(json, "sensitivities")) {
        reasons.sensitivities.push_back({text(each, "key"),
                                         text(each, "change"),
                                         number_in(each, "spread_percent", "%"),
                                         number_in(each, "slot_loss_pa", "Pa")});
    }
}

std::string file_text(const std::string& path) {
    if (const auto reason = no_file_reason(path); !reason.empty()) {
        throw ReadError(fmt::format("{}: cannot read: {}", path, reason));
    }
    errno = 0;
    std::ifstream file(path, std::ios::binary);
    if (!file || file.peek() == std::ifstream::traits_type::eof()) {
        throw ReadError(
            fmt::format("{}: cannot read: {}",
                        path,
                        errno == 0 ? "it is empty; solve the case again" : std::strerror(errno)));
    }
    constexpr std::size_t largest = 1000000000;
    std::size_t piece = 65536;  // doubled as it goes on: most results are small
    const auto too_large = [&](std::uintmax_t size) {
        return ReadError(fmt::format("{}: {:.1f} GB; a result of solve is at most 1 GB, use .h5",
                                     path,
                                     static_cast<double>(size) / largest));
    };
    std::error_code failed;
    if (const auto size = std::filesystem::file_size(path, failed); !failed && size > largest) {
        throw too_large(size);
    }
    // A pipe has no size, and may have no end.
    std::string text;
    while (file) {
        const std::size_t before = text.size();
        if (before > largest) {
            throw too_large(before);
        }
        text.resize(before + piece);
        errno = 0;
        file.read(text.data() + before, static_cast<std::streamsize>(piece));
        if (file.bad()) {
            throw ReadError(fmt::format("{}: cannot read: {}", path, std::strerror(errno)));
        }
        text.resize(before + static_cast<std::size_t>(file.gcount()));
        piece = std::min<std::size_t>(2 * piece, 1U << 24U);
    }
    return text;
}

void expect_format(const Json& json, const std::string& path) {
    const bool named = json.is_object() && json.contains("format") && json.at("format").is_string();
    const std::string format = named ? text(json, "format") : "";
    const std::string expected = fmt::format("plenair.solve/{}", results_format_version);
    if (format == expected) return;
    if (format.starts_with("plenair.solve/")) {
        throw ReadError(fmt::format(
            "{}: holds {}, written by plenair {}; this program reads {}: solve the case again",
            path,
            format,
            json.value("version", "of unknown version"),
            expected));
    }
    throw ReadError(fmt::format("{}: holds {}, not {}; name a file written by solve -o",
                                path,
                                format.empty() ? "no result" : format,
                                expected));
}

/// @returns whether it has a digest, which then is right
bool expect_whole(const Json& json, const std::string& path) {
    const Seal seal = seal_of(json);
    if (seal == Seal::broken) {
        throw ReadError(fmt::format(
            "{}: is damaged, or was changed since it was written: its content is not that of its "
            "digest; solve the case again (or, where the change was meant, take {} out)",
            path,
            content_digest_key));
    }
    return seal == Seal::whole;
}

/// Every name of an object is one that plenair writes: in a file without a digest another one is as
/// likely a damaged one.
void expect_names(const Json& json,
                  const std::set<std::string>& known,
                  const std::string& where,
                  const std::string& path) {
    for (const auto& entry : json.items()) {
        if (!known.contains(entry.key())) {
            throw ReadError(
                fmt::format("{}: {}'{}' is no entry of a result of solve, and the file has no "
                            "digest that shows "
                            "it undamaged; take the entry out or solve the case again",
                            path,
                            where,
                            entry.key()));
        }
    }
}

void expect_known_names(const Json& json, const std::string& path) {
    expect_names(json,
                 {"format",
                  "version",
                  "git_sha",
                  "title",
                  "case_digest",
                  "points",
                  "curves",
                  "reasons",
                  "converged",
                  "summary",
                  "assumed",
                  "case_text"},
                 "",
                 path);
    std::set<std::string> of_point = {"name",
                                      "converged",
                                      "failure",
                                      "cycles",
                                      "cylinders",
                                      "band_parts",
                                      "banks",
                                      "pressures",
                                      "slots",
                                      "notes",
                                      "sonic",
                                      "crank_angle_rad",
                                      "traces",
                                      "trim_step_percent",
                                      "trim_moved_mean_percent"};
    for (const auto& quantity : point_quantities()) {
        const std::string name = quantity.json;
        of_point.insert(name.substr(0, name.find('.')));
    }
    for (const auto& point : list(json, "points")) {
        expect_names(point, of_point, fmt::format("point '{}': ", point.value("name", "")), path);
    }
}

}  // namespace

StoredSolve read_solve_json(const std::string& path) try {
    const Json json = parse_json(file_text(path));
    expect_format(json, path);
    StoredSolve stored;
    const bool checked = expect_whole(json, path);
    if (!checked) expect_known_names(json, path);
    stored.version = text(json, "version");
    SolveResult& result = stored.result;
    result.title = text(json, "title");
    result.case_digest = text(json, "case_digest");
    result.case_text = text(json, "case_text");
    result.summary = text(json, "summary");
    for (const auto& point : list(json, "points")) result.points.push_back(read_point(point));
    if (!checked && !result.points.empty()) {
        const std::string unsealed =
            "the file of this result carries no digest of its content: damage could not be told";
        result.points.front().notes.push_back(unsealed);
        stored.warnings.push_back(path + ": " + unsealed);
    }
    if (json.contains("reasons")) read_reasons(json.at("reasons"), result.reasons);
    if (json.contains("curves")) {
        for (const auto& curve : list(json, "curves")) {
            result.curves.push_back(read_curve(curve, result.points));
        }
    }
    expect_fitting(result, path);
    return stored;
} catch (const Json::exception& error) {
    const std::string_view words = error.what();
    const auto label = words.find("] ");  // the library's own name of the fault
    throw ReadError(fmt::format("{}: not a complete result of solve ({}); solve the case again",
                                path,
                                words.substr(label == std::string_view::npos ? 0 : label + 2)));
}

SolveResult read_results_json(const std::string& path) {
    return read_solve_json(path).result;
}

}  // namespace plenair
