#include "cases/report/csv.hpp"

#include "cases/report/csv/cell.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace plenair {

namespace {

/// A row: a cylinder at a point, a point without trims, or a cylinder at a place of the map.
struct Row {
    const TrimResult& result;
    const TrimPoint* point = nullptr;
    const CylinderTrim* cylinder = nullptr;
    const NitrousCylinder* nitrous = nullptr;
    const TrimMap* map = nullptr;
    std::size_t place = 0;  ///< in the map
};

using R = const Row&;

struct Column {
    const char* name;
    std::function<std::string(R)> text;
};

std::string cell(int value) {
    return csv_cell(std::to_string(value));
}

std::string percent_cell(double ratio) {
    return csv_cell(percent(ratio));
}

std::string kpa_cell(double pressure) {
    return csv_cell(converted(pressure, "kPa"));
}

/// Places of the map with one load or none.
std::size_t loads(R r) {
    return std::max<std::size_t>(1, r.result.map_pressures.size());
}

std::string speed(R r) {
    const double value =
        r.point != nullptr ? r.point->speed : r.result.map_speeds.at(r.place / loads(r));
    return csv_cell(converted(value, "rpm"));
}

std::string plenum_pressure(R r) {
    if (r.point != nullptr) {
        return r.point->issued ? kpa_cell(r.point->plenum_pressure) : "";
    }
    return r.result.map_pressures.empty() ? ""
                                          : kpa_cell(r.result.map_pressures[r.place % loads(r)]);
}

std::string trim_cell(R r) {
    if (r.cylinder != nullptr) {
        return percent_cell(r.cylinder->trim);
    }
    const auto trim = r.map != nullptr ? r.map->trim.at(r.place) : std::nullopt;
    return trim ? percent_cell(*trim) : "";
}

std::string multiplier_cell(R r) {
    if (r.cylinder != nullptr) {
        return csv_cell(r.cylinder->multiplier);
    }
    const auto trim = r.map != nullptr ? r.map->trim.at(r.place) : std::nullopt;
    return trim ? csv_cell(1.0 + *trim) : "";
}

std::string of_point(R r, double TrimPoint::*member) {
    return r.point != nullptr && r.point->issued ? csv_cell(r.point->*member) : "";
}

std::string of_cylinder(R r, double CylinderTrim::*member) {
    return r.cylinder != nullptr ? csv_cell(r.cylinder->*member) : "";
}

/// In g/s.
std::string fuel_of(R r, double CylinderTrim::*member) {
    return r.cylinder != nullptr ? csv_cell(converted(r.cylinder->*member, "g/s")) : "";
}

/// In g/s.
std::string of_nitrous(R r, double NitrousCylinder::*member) {
    return r.nitrous != nullptr ? csv_cell(converted(r.nitrous->*member, "g/s")) : "";
}

std::string duty_cell(R r,
                      std::optional<Duty> CylinderTrim::*when,
                      StageDuty Duty::*stage,
                      double StageDuty::*what) {
    if (r.cylinder == nullptr || !(r.cylinder->*when)) {
        return "";
    }
    const bool absent = stage == &Duty::secondary && !r.result.injection->secondary;
    return absent ? "" : percent_cell((*(r.cylinder->*when)).*stage.*what);
}

std::string over_cell(R r, StageDuty Duty::*stage) {
    if (r.cylinder == nullptr || !r.cylinder->duty_trimmed) {
        return "";
    }
    return cell(((*r.cylinder->duty_trimmed).*stage).over ||
                        ((*r.cylinder->duty_untrimmed).*stage).over
                    ? 1
                    : 0);
}

std::vector<Column> trim_columns() {
    using C = CylinderTrim;
    return {
        {"row_kind", [](R r) { return std::string(r.map != nullptr ? "map" : "point"); }},
        {"point", [](R r) { return r.point != nullptr ? csv_cell(r.point->name) : ""; }},
        {"speed_rpm", speed},
        {"plenum_pressure_kpa", plenum_pressure},
        {"source_pressure_kpa",
         [](R r) { return r.point != nullptr ? kpa_cell(r.point->source_pressure) : ""; }},
        {"issued_0_1", [](R r) { return r.point != nullptr ? cell(r.point->issued ? 1 : 0) : ""; }},
        {"failure_text", [](R r) { return r.point != nullptr ? csv_cell(r.point->failure) : ""; }},
        {"cylinder_number",
         [](R r) {
             return r.cylinder != nullptr ? cell(r.cylinder->cylinder)
                    : r.map != nullptr    ? cell(r.map->cylinder)
                                          : "";
         }},
        {"firing_position_number",
         [](R r) {
             return r.cylinder != nullptr ? cell(r.cylinder->firing_position)
                    : r.map != nullptr    ? cell(r.map->firing_position)
                                          : "";
         }},
        {"trim_percent", trim_cell},
        {"multiplier_ratio", multiplier_cell},
        {"bias_percent",
         [](R r) { return r.cylinder != nullptr ? percent_cell(r.cylinder->bias) : ""; }},
        {"lambda_target_ratio", [](R r) { return of_point(r, &TrimPoint::lambda); }},
        {"lambda_untrimmed_ratio", [](R r) { return of_cylinder(r, &C::lambda_untrimmed); }},
        {"lambda_trimmed_ratio", [](R r) { return of_cylinder(r, &C::lambda_trimmed); }},
        {"fuel_untrimmed_g_s", [](R r) { return fuel_of(r, &C::fuel_untrimmed); }},
        {"fuel_trimmed_g_s", [](R r) { return fuel_of(r, &C::fuel_trimmed); }},
        {"moved_mean_percent",
         [](R r) {
             return r.point != nullptr && r.point->issued ? percent_cell(r.point->moved_mean) : "";
         }},
    };
}

std::vector<Column> fuel_columns() {
    using C = CylinderTrim;
    using N = NitrousCylinder;
    std::vector<Column> columns;
    const auto add_stage = [&columns](StageDuty Duty::*stage, std::array<const char*, 5> names) {
        const auto before = &C::duty_untrimmed;
        const auto after = &C::duty_trimmed;
        columns.push_back(
            {names[0], [=](R r) { return duty_cell(r, before, stage, &StageDuty::flow); }});
        columns.push_back(
            {names[1], [=](R r) { return duty_cell(r, before, stage, &StageDuty::commanded); }});
        columns.push_back(
            {names[2], [=](R r) { return duty_cell(r, after, stage, &StageDuty::flow); }});
        columns.push_back(
            {names[3], [=](R r) { return duty_cell(r, after, stage, &StageDuty::commanded); }});
        columns.push_back({names[4], [=](R r) { return over_cell(r, stage); }});
    };
    add_stage(&Duty::primary,
              {"primary_flow_duty_untrimmed_percent",
               "primary_commanded_duty_untrimmed_percent",
               "primary_flow_duty_trimmed_percent",
               "primary_commanded_duty_trimmed_percent",
               "primary_over_limit_0_1"});
    add_stage(&Duty::secondary,
              {"secondary_flow_duty_untrimmed_percent",
               "secondary_commanded_duty_untrimmed_percent",
               "secondary_flow_duty_trimmed_percent",
               "secondary_commanded_duty_trimmed_percent",
               "secondary_over_limit_0_1"});
    const std::vector<Column> rest{
        {"nitrous_g_s", [](R r) { return of_nitrous(r, &N::flow); }},
        {"nitrous_oxygen_g_s", [](R r) { return of_nitrous(r, &N::oxygen); }},
        {"nitrous_extra_fuel_g_s", [](R r) { return of_nitrous(r, &N::extra_fuel); }},
        {"case_digest", [](R r) { return csv_cell(r.result.case_digest); }},
        {"version", [](R) { return csv_cell(version()); }},
    };
    columns.insert(columns.end(), rest.begin(), rest.end());
    return columns;
}

}  // namespace

std::string csv_text(const TrimResult& result) {
    auto columns = trim_columns();
    for (auto& column : fuel_columns()) columns.push_back(std::move(column));
    std::vector<std::string> cells;
    for (const auto& column : columns) cells.emplace_back(column.name);
    std::string text = csv_line(cells);
    const auto add = [&](const Row& row) {
        cells.clear();
        for (const auto& column : columns) cells.push_back(column.text(row));
        text += csv_line(cells);
    };
    for (const auto& point : result.points) {
        if (point.cylinders.empty()) add({result, &point});
        for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
            add({result,
                 &point,
                 &point.cylinders[i],
                 point.nitrous.empty() ? nullptr : &point.nitrous.at(i)});
        }
    }
    for (const auto& map : result.map) {
        for (std::size_t place = 0; place < map.trim.size(); ++place) {
            add({result, nullptr, nullptr, nullptr, &map, place});
        }
    }
    return text;
}

}  // namespace plenair
