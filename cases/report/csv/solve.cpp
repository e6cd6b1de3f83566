#include "cases/report/csv.hpp"

#include "cases/report/csv/cell.hpp"
#include "cases/report/words/numbers.hpp"
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
    /// The cylinder's; none where it is not known.
    [[nodiscard]] const BankResult* bank() const {
        const auto at = cylinder == nullptr ? 0 : static_cast<std::size_t>(cylinder->bank);
        return cylinder != nullptr && at < point.banks.size() ? &point.banks[at] : nullptr;
    }
    double trim = 0;  ///< of the cylinder [-]
    std::string curve;  ///< that the point belongs to; empty: none
    [[nodiscard]] bool shown() const { return point.converged && cylinder != nullptr; }
};

using R = const SolveRow&;

/// Columns of the quantities that stand in a line for which `in` holds.
template <class Wanted>
void add_quantities(std::vector<Column<SolveRow>>& columns, Wanted in) {
    for (const auto& q : point_quantities()) {
        if (!in(q.line)) continue;
        columns.push_back({q.csv, [&q](R r) {
                               const double value = r.point.*q.member;
                               return shown(q.shows(r.point.converged, value), q.to_csv(value));
                           }});
    }
}

std::vector<Column<SolveRow>> point_columns() {
    const auto condition = [](Line line) { return line == Line::condition; };
    std::vector<Column<SolveRow>> columns{{"point", [](R r) { return cell(r.point.name); }}};
    add_quantities(columns, condition);
    columns.push_back({"converged_0_1", [](R r) { return cell(r.point.converged ? 1 : 0); }});
    columns.push_back({"failure_text", [](R r) { return cell(r.point.failure); }});
    columns.push_back({"cycles_count", [](R r) { return cell(r.point.cycles); }});
    add_quantities(columns, std::not_fn(condition));
    columns.push_back({"notes_text", [](R r) { return cell(joined_notes(r.point)); }});
    return columns;
}

std::vector<Column<SolveRow>> cylinder_columns() {
    std::vector<Column<SolveRow>> columns{
        {"cylinder_number",
         [](R r) { return r.cylinder == nullptr ? "" : cell(r.cylinder->cylinder); }},
        {"firing_position_number",
         [](R r) { return r.cylinder == nullptr ? "" : cell(r.cylinder->firing_position); }}};
    for (const auto& q : cylinder_quantities()) {
        columns.push_back({q.csv, [&q](R r) {
                               if (r.cylinder == nullptr) return std::string();
                               const double value = r.cylinder->*q.member;
                               return shown(q.shows(r.point.converged, value), q.to_csv(value));
                           }});
        if (q.member == &CylinderResult::bias) {
            columns.push_back(
                {"trim_percent", [](R r) { return r.shown() ? cell(percent(r.trim)) : ""; }});
        }
    }
    columns.push_back(
        {"bank_text", [](R r) { return r.bank() == nullptr ? "" : cell(r.bank()->name); }});
    for (const auto& q : bank_quantities()) {
        columns.push_back({q.csv, [&q](R r) {
                               if (r.bank() == nullptr) return std::string();
                               const double value = r.bank()->*q.member;
                               return shown(q.shows(r.point.converged, value), q.to_csv(value));
                           }});
    }
    columns.push_back({"curve_text", [](R r) { return cell(r.curve); }});
    columns.push_back({"case_digest", [](R r) { return cell(r.study.case_digest); }});
    columns.push_back({"version", [](R) { return cell(version()); }});
    return columns;
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

/// Those that pass air: a closed one has no row. One past the last where none does, so that the
/// set-up still has a row.
std::vector<std::size_t> open_runners(const BenchResult& set_up) {
    std::vector<std::size_t> open;
    for (std::size_t i = 0; set_up.converged && i < set_up.flow_per_runner.size(); ++i) {
        if (set_up.flow_per_runner[i] != 0) open.push_back(i);
    }
    if (open.empty()) open.push_back(set_up.flow_per_runner.size());
    return open;
}

std::vector<Column<BenchRow>> bench_columns() {
    const auto slot = [](B r, double SlotShape::*member) {
        return r.set_up.converged && r.numbers.slot ? (*r.numbers.slot).*member : NAN;
    };
    const auto valve = [](B r, double ValveFlow::*member, double unit) {
        const bool has = r.set_up.converged && r.set_up.valve.has_value();
        return shown(has, has ? unit * (*r.set_up.valve).*member : NAN);
    };
    return {
        {"set_up", [](B r) { return cell(r.set_up.name); }},
        {"bank_text", [](B r) { return cell(r.set_up.bank); }},
        {"converged_0_1", [](B r) { return cell(r.set_up.converged ? 1 : 0); }},
        {"failure_text", [](B r) { return cell(r.set_up.failure); }},
        {"residual_ratio", [](B r) { return cell(r.set_up.residual); }},
        {"depression_kpa", [](B r) { return cell(converted(r.set_up.depression, "kPa")); }},
        {"density_kg_m3", [](B r) { return cell(r.set_up.density); }},
        {"flow_g_s",
         [](B r) { return shown(r.set_up.converged, converted(r.set_up.flow, "g/s")); }},
        {"flow_cfm",
         [](B r) { return shown(r.set_up.converged, converted(r.numbers.volume_flow, "CFM")); }},
        {"cfm_density_kg_m3", [](B r) { return cell(r.numbers.cfm_density); }},
        {"cd_ratio", [](B r) { return shown(r.set_up.converged && r.set_up.cd > 0, r.set_up.cd); }},
        {"reference_area_mm2",
         [](B r) { return shown(r.set_up.cd > 0, converted(r.set_up.reference_area, "mm2")); }},
        {"outlet_flow_g_s",
         [](B r) {
             return shown(r.set_up.converged && r.set_up.outlet_flow != 0,
                          converted(r.set_up.outlet_flow, "g/s"));
         }},
        {"lift_mm", [valve](B r) { return valve(r, &ValveFlow::lift, 1e3); }},
        {"lift_over_diameter_ratio",
         [valve](B r) { return valve(r, &ValveFlow::lift_over_diameter, 1); }},
        {"cd_curtain_ratio", [valve](B r) { return valve(r, &ValveFlow::cd_curtain, 1); }},
        {"cd_seat_ratio", [valve](B r) { return valve(r, &ValveFlow::cd_seat, 1); }},
        {"cd_head_ratio", [valve](B r) { return valve(r, &ValveFlow::cd_head, 1); }},
        {"cd_valve_ratio", [valve](B r) { return valve(r, &ValveFlow::cd_valve, 1); }},
        {"slot_start_over_mean_ratio",
         [slot](B r) { return cell(slot(r, &SlotShape::start_over_mean)); }},
        {"slot_far_over_mean_ratio",
         [slot](B r) { return cell(slot(r, &SlotShape::far_over_mean)); }},
        {"slot_spread_percent", [slot](B r) { return cell(percent(slot(r, &SlotShape::spread))); }},
        {"runner_number",
         [](B r) { return r.has_runner() ? cell(runner_number(r.set_up, r.runner)) : ""; }},
        {"runner_flow_g_s",
         [](B r) {
             return r.has_runner() && r.set_up.converged
                        ? cell(converted(r.set_up.flow_per_runner[r.runner], "g/s"))
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
    for (std::size_t p = 0; p < result.points.size(); ++p) {
        const auto& point = result.points[p];
        const auto* of = result.curve_of(p);
        const std::string curve = of == nullptr ? "" : of->name;
        if (point.cylinders.empty()) {
            text += line(columns, SolveRow{result, point, nullptr, 0, curve});
        }
        const auto trims = usual_trims(point);
        for (std::size_t i = 0; i < point.cylinders.size(); ++i) {
            const double trim = trims ? trims->rounded.at(i) : 0;
            text += line(columns, SolveRow{result, point, &point.cylinders[i], trim, curve});
        }
    }
    return text;
}

std::string csv_text(const BenchStudyResult& result) {
    const auto columns = bench_columns();
    std::string text = header(columns);
    for (const auto& set_up : result.set_ups) {
        const BenchNumbers numbers = bench_numbers(set_up, result.reference_density);
        for (const std::size_t runner : open_runners(set_up)) {
            text += line(columns, BenchRow{result, set_up, numbers, runner});
        }
    }
    return text;
}

}  // namespace plenair
