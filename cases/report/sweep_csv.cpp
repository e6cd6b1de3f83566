#include "cases/report/numbers.hpp"
#include "cases/report/sweep.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace plenair {

namespace {

/// Shortest text that reads back to the same bits; empty where not finite.
std::string cell(double value) {
    return std::isfinite(value) ? fmt::format("{}", value) : "";
}

std::string cell(const std::string& text) {
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char sign : text) {
        quoted += sign;
        if (sign == '"') quoted += '"';
    }
    return quoted + "\"";
}

/// One number of a point or a cylinder.
template <class Result>
struct Column {
    const char* name;
    double Result::*member;
    bool as_percent = false;
    bool converged_only = false;

    [[nodiscard]] std::string text(const Result& result, bool converged) const {
        if (converged_only && !converged) return "";
        return cell(as_percent ? percent(result.*member) : result.*member);
    }
};

constexpr Column<PointResult> point_columns[] = {
    {"periodic_residual_ratio", &PointResult::periodic_residual},
    {"mass_balance_ratio", &PointResult::mass_balance},
    {"energy_balance_ratio", &PointResult::energy_balance},
    {"fresh_air_balance_ratio", &PointResult::fresh_air_balance},
    {"flow_balance_ratio", &PointResult::flow_balance},
    {"air_flow_kg_s", &PointResult::air_flow},
    {"volumetric_efficiency_ratio", &PointResult::volumetric_efficiency},
    {"spread_percent", &PointResult::spread, true, true},
    {"end_bias_percent", &PointResult::end_bias, true, true},
    {"throttle_loss_pa", &PointResult::throttle_loss},
    {"slot_loss_pa", &PointResult::slot_loss},
    {"mouth_loss_pa", &PointResult::mouth_loss},
    {"port_loss_pa", &PointResult::port_loss},
    {"slot_mach_ratio", &PointResult::slot_mach},
    {"slot_to_throttle_area_ratio", &PointResult::slot_to_throttle},
    {"choke_margin_ratio", &PointResult::choke_margin},
    {"inlet_mach_index_ratio", &PointResult::inlet_mach_index},
};

constexpr Column<CylinderResult> cylinder_columns[] = {
    {"air_delivered_kg_cycle", &CylinderResult::air_delivered, false, true},
    {"air_trapped_kg_cycle", &CylinderResult::air_trapped, false, true},
    {"share_ratio", &CylinderResult::share, false, true},
    {"bias_percent", &CylinderResult::bias, true, true},
    {"residual_fraction_ratio", &CylinderResult::residual_fraction, false, true},
    {"mouth_velocity_peak_m_s", &CylinderResult::mouth_velocity_peak, false, true},
};

/// "slot.width_mm"; a number without unit "_number", a text "_text".
std::string input_column(const SweepInput& input) {
    std::string unit = input.numeric ? input.shown_unit : "text";
    if (unit.empty()) unit = "number";
    for (char& sign : unit) {
        const auto code = static_cast<unsigned char>(sign);
        sign = std::isalnum(code) != 0 ? static_cast<char>(std::tolower(code)) : '_';
    }
    return fmt::format("{}_{}", input.key, unit);
}

std::string input_cell(const SweepInput& input, const InputValue& value) {
    if (!input.numeric) return cell(value.text);
    return cell(input.shown_unit.empty() ? value.number
                                         : converted(value.number, input.shown_unit.c_str()));
}

const char* status(const VariantRecord& record, std::size_t point) {
    if (!record.failure.empty()) return "failed";
    return record.points[point].converged ? "complete" : "not converged";
}

void add_numbers(std::vector<std::string>& cells, const PointResult& point, const SweepInfo& info) {
    cells.push_back(cell(converted(point.speed, "rpm")));
    cells.push_back(cell(point.source_pressure));
    cells.push_back(cell(point.source_temperature));
    cells.push_back(fmt::format("{}", point.cycles));
    for (const auto& column : point_columns) cells.push_back(column.text(point, point.converged));
    for (const int number : info.cylinders) {
        const auto found = std::find_if(point.cylinders.begin(),
                                        point.cylinders.end(),
                                        [&](const auto& c) { return c.cylinder == number; });
        for (const auto& column : cylinder_columns) {
            const bool known = found != point.cylinders.end();
            cells.push_back(known ? column.text(*found, point.converged) : "");
        }
    }
}

std::vector<std::string> number_names(const SweepInfo& info) {
    std::vector<std::string> names{
        "speed_rpm", "source_pressure_pa", "source_temperature_k", "cycles_count"};
    for (const auto& column : point_columns) names.emplace_back(column.name);
    for (const int cylinder : info.cylinders) {
        for (const auto& column : cylinder_columns) {
            names.push_back(fmt::format("cylinder_{}_{}", cylinder, column.name));
        }
    }
    return names;
}

}  // namespace

std::string sweep_csv_header(const SweepInfo& info) {
    std::vector<std::string> names{"variant_number"};
    for (const auto& input : info.inputs) names.push_back(cell(input_column(input)));
    for (const char* name : {"point", "status_text", "reason_text"}) names.emplace_back(name);
    for (auto& name : number_names(info)) names.push_back(std::move(name));
    for (const char* name : {"case_digest", "sweep_digest", "version"}) names.emplace_back(name);
    return fmt::format("{}\n", fmt::join(names, ","));
}

std::string sweep_csv_rows(const SweepInfo& info,
                           std::size_t first,
                           const std::vector<VariantRecord>& records) {
    std::string text;
    const std::size_t numbers = number_names(info).size();
    for (const auto& record : records) {
        ++first;
        for (std::size_t p = 0; p < info.points.size(); ++p) {
            std::vector<std::string> cells{fmt::format("{}", first)};
            for (std::size_t i = 0; i < info.inputs.size(); ++i) {
                cells.push_back(input_cell(info.inputs[i], record.inputs[i]));
            }
            const bool failed = !record.failure.empty();
            cells.push_back(cell(info.points[p]));
            cells.emplace_back(status(record, p));
            cells.push_back(cell(failed ? record.failure : record.points[p].failure));
            if (failed) {
                cells.resize(cells.size() + numbers);
            } else {
                add_numbers(cells, record.points[p], info);
            }
            cells.push_back(cell(info.case_digest));
            cells.push_back(cell(info.digest));
            cells.emplace_back(version());
            text += fmt::format("{}\n", fmt::join(cells, ","));
        }
    }
    return text;
}

}  // namespace plenair
