#include "cases/report/csv.hpp"

#include "cases/report/csv_cell.hpp"
#include "cases/report/numbers.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string_view>
#include <vector>

namespace plenair {

namespace {

std::string cell(double value) {
    return csv_cell(value);
}

std::string cell(int value) {
    return fmt::format("{}", value);
}

std::string cell(std::string_view text) {
    return csv_cell(text);
}

std::string shown(bool show, double value) {
    return show ? cell(value) : "";
}

/// A column: its name with unit, and its cell for a row of type Row.
template <class Row>
struct Column {
    const char* name;
    std::function<std::string(const Row&)> text;
};

template <class Row>
std::string header(const std::vector<Column<Row>>& columns) {
    std::vector<std::string> names;
    names.reserve(columns.size());
    for (const auto& column : columns) names.emplace_back(column.name);
    return fmt::format("{}\n", fmt::join(names, ","));
}

template <class Row>
std::string line(const std::vector<Column<Row>>& columns, const Row& row) {
    std::vector<std::string> cells;
    cells.reserve(columns.size());
    for (const auto& column : columns) cells.push_back(column.text(row));
    return fmt::format("{}\n", fmt::join(cells, ","));
}

struct SolveRow {
    const SolveResult& study;
    const PointResult& point;
    const CylinderResult* cylinder;  ///< none where a failed point has no cylinders
    double trim = 0;  ///< of the cylinder [-]
    [[nodiscard]] bool shown() const { return point.converged && cylinder != nullptr; }
};

using R = const SolveRow&;

std::string of_cylinder(R row, double CylinderResult::*member) {
    return row.shown() ? cell(row.cylinder->*member) : "";
}

std::vector<Column<SolveRow>> point_columns() {
    return {
        {"point", [](R r) { return cell(r.point.name); }},
        {"speed_rpm", [](R r) { return cell(converted(r.point.speed, "rpm")); }},
        {"source_pressure_pa", [](R r) { return cell(r.point.source_pressure); }},
        {"source_temperature_k", [](R r) { return cell(r.point.source_temperature); }},
        {"converged_0_1", [](R r) { return cell(r.point.converged ? 1 : 0); }},
        {"failure_text", [](R r) { return cell(r.point.failure); }},
        {"cycles_count", [](R r) { return cell(r.point.cycles); }},
        {"periodic_residual_ratio", [](R r) { return cell(r.point.periodic_residual); }},
        {"mass_balance_ratio", [](R r) { return cell(r.point.mass_balance); }},
        {"energy_balance_ratio", [](R r) { return cell(r.point.energy_balance); }},
        {"fresh_air_balance_ratio", [](R r) { return cell(r.point.fresh_air_balance); }},
        {"flow_balance_ratio", [](R r) { return cell(r.point.flow_balance); }},
        {"air_flow_kg_s", [](R r) { return cell(r.point.air_flow); }},
        {"volumetric_efficiency_ratio", [](R r) { return cell(r.point.volumetric_efficiency); }},
        {"spread_percent", [](R r) { return shown(r.point.converged, percent(r.point.spread)); }},
        {"end_bias_percent",
         [](R r) { return shown(r.point.converged, percent(r.point.end_bias)); }},
        {"bias_band_percent",
         [](R r) {
             return shown(r.point.converged && r.point.bias_band > 0, percent(r.point.bias_band));
         }},
        {"throttle_loss_pa", [](R r) { return cell(r.point.throttle_loss); }},
        {"slot_loss_pa", [](R r) { return cell(r.point.slot_loss); }},
        {"mouth_loss_pa", [](R r) { return cell(r.point.mouth_loss); }},
        {"port_loss_pa", [](R r) { return cell(r.point.port_loss); }},
        {"slot_mach_ratio", [](R r) { return cell(r.point.slot_mach); }},
        {"slot_to_throttle_area_ratio", [](R r) { return cell(r.point.slot_to_throttle); }},
        {"choke_margin_ratio", [](R r) { return cell(r.point.choke_margin); }},
        {"inlet_mach_index_ratio", [](R r) { return cell(r.point.inlet_mach_index); }},
    };
}

std::vector<Column<SolveRow>> cylinder_columns() {
    using C = CylinderResult;
    return {
        {"cylinder_number",
         [](R r) { return r.cylinder == nullptr ? "" : cell(r.cylinder->cylinder); }},
        {"firing_position_number",
         [](R r) { return r.cylinder == nullptr ? "" : cell(r.cylinder->firing_position); }},
        {"air_delivered_kg_cycle", [](R r) { return of_cylinder(r, &C::air_delivered); }},
        {"air_trapped_kg_cycle", [](R r) { return of_cylinder(r, &C::air_trapped); }},
        {"share_ratio", [](R r) { return of_cylinder(r, &C::share); }},
        {"bias_percent", [](R r) { return r.shown() ? cell(percent(r.cylinder->bias)) : ""; }},
        {"trim_percent", [](R r) { return r.shown() ? cell(percent(r.trim)) : ""; }},
        {"residual_fraction_ratio", [](R r) { return of_cylinder(r, &C::residual_fraction); }},
        {"mouth_velocity_peak_m_s", [](R r) { return of_cylinder(r, &C::mouth_velocity_peak); }},
        {"case_digest", [](R r) { return cell(r.study.case_digest); }},
        {"version", [](R) { return cell(version()); }},
    };
}

struct BenchRow {
    const BenchStudyResult& study;
    const BenchResult& set_up;
    const BenchNumbers& numbers;
    std::size_t runner;  ///< from 0
    [[nodiscard]] bool has_runner() const { return runner < set_up.flow_per_runner.size(); }
    [[nodiscard]] bool has_bias() const {
        return set_up.converged && runner < numbers.bias.size() && numbers.bias[runner];
    }
};

using B = const BenchRow&;

std::vector<Column<BenchRow>> bench_columns() {
    const auto slot = [](B r, double SlotShape::*member) {
        return r.set_up.converged && r.numbers.slot ? (*r.numbers.slot).*member : NAN;
    };
    return {
        {"set_up", [](B r) { return cell(r.set_up.name); }},
        {"converged_0_1", [](B r) { return cell(r.set_up.converged ? 1 : 0); }},
        {"failure_text", [](B r) { return cell(r.set_up.failure); }},
        {"residual_ratio", [](B r) { return cell(r.set_up.residual); }},
        {"depression_pa", [](B r) { return cell(r.set_up.depression); }},
        {"density_kg_m3", [](B r) { return cell(r.set_up.density); }},
        {"flow_kg_s", [](B r) { return shown(r.set_up.converged, r.set_up.flow); }},
        {"flow_cfm",
         [](B r) { return shown(r.set_up.converged, converted(r.numbers.volume_flow, "CFM")); }},
        {"cfm_density_kg_m3", [](B r) { return cell(r.numbers.cfm_density); }},
        {"cd_ratio", [](B r) { return shown(r.set_up.converged && r.set_up.cd > 0, r.set_up.cd); }},
        {"reference_area_m2", [](B r) { return shown(r.set_up.cd > 0, r.set_up.reference_area); }},
        {"slot_inlet_over_mean_ratio",
         [slot](B r) { return cell(slot(r, &SlotShape::inlet_over_mean)); }},
        {"slot_closed_over_mean_ratio",
         [slot](B r) { return cell(slot(r, &SlotShape::closed_over_mean)); }},
        {"slot_spread_percent", [slot](B r) { return cell(percent(slot(r, &SlotShape::spread))); }},
        {"runner_number",
         [](B r) { return r.has_runner() ? cell(static_cast<int>(r.runner) + 1) : ""; }},
        {"runner_flow_kg_s",
         [](B r) {
             return r.has_runner() && r.set_up.converged ? cell(r.set_up.flow_per_runner[r.runner])
                                                         : "";
         }},
        {"runner_bias_percent",
         [](B r) { return r.has_bias() ? cell(percent(*r.numbers.bias[r.runner])) : ""; }},
        {"case_digest", [](B r) { return cell(r.study.case_digest); }},
        {"version", [](B) { return cell(version()); }},
    };
}

}  // namespace

std::string csv_text(const SolveResult& result) {
    auto columns = point_columns();
    for (auto& column : cylinder_columns()) columns.push_back(std::move(column));
    std::string text = header(columns);
    for (const auto& point : result.points) {
        if (point.cylinders.empty()) text += line(columns, SolveRow{result, point, nullptr, 0});
        const auto trims = usual_trims(point);
        for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
            const double trim = trims ? trims->rounded.at(i) : 0;
            text += line(columns, SolveRow{result, point, &point.cylinders[i], trim});
        }
    }
    return text;
}

std::string csv_text(const BenchStudyResult& result) {
    const auto columns = bench_columns();
    std::string text = header(columns);
    for (const auto& set_up : result.set_ups) {
        const BenchNumbers numbers = bench_numbers(set_up, result.reference_density);
        const std::size_t rows = std::max<std::size_t>(1, set_up.flow_per_runner.size());
        for (std::size_t runner = 0; runner < rows; ++runner) {
            text += line(columns, BenchRow{result, set_up, numbers, runner});
        }
    }
    return text;
}

}  // namespace plenair
