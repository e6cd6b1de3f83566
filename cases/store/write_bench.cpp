#include "cases/store/fields.hpp"
#include "cases/store/grid_writer.hpp"
#include "cases/store/root.hpp"
#include "cases/store/store.hpp"

#include <algorithm>

namespace plenair {

namespace {

using SetUps = std::vector<BenchResult>;

/// One number of a set-up.
struct Number {
    Label label;
    double BenchResult::*member;
    Shown shown = Shown::converged;
};

/// One list of a set-up and the dimension along which it is stored.
struct List {
    Label label;
    std::string along;
    std::vector<double> BenchResult::*member;
};

void write_numbers(GridWriter& file, const SetUps& set_ups) {
    using B = BenchResult;
    const std::vector<Number> numbers = {
        {{"depression", "Pa", "pressure difference over the set-up"},
         &B::depression,
         Shown::always},
        {{"density", "kg m-3", "density of the room air"}, &B::density, Shown::always},
        {{"flow", "kg s-1", "mass flow"}, &B::flow},
        {{"cd", "1", "discharge coefficient on the reference area, 0: none"}, &B::cd},
        {{"reference_area", "m2", "area to which the discharge coefficient refers"},
         &B::reference_area},
        {{"bias_band",
          "1",
          "half width of the shares' band from model coefficients, 0: not computed"},
         &B::bias_band},
        {{"residual", "1", "relative residual of the steady state"}, &B::residual, Shown::always},
    };
    for (const auto& number : numbers) {
        std::vector<double> values;
        for (const auto& set_up : set_ups) {
            const bool hide = number.shown == Shown::converged && !set_up.converged;
            values.push_back(hide ? not_computed : set_up.*number.member);
        }
        file.variable(number.label, {"set_up"}, values);
    }
}

/// What only heads at a lift have, and what only a header with an outlet has.
void write_heads(GridWriter& file, const SetUps& set_ups) {
    const std::vector<std::pair<Label, double ValveFlow::*>> numbers = {
        {{"lift", "m", "lift of the valves"}, &ValveFlow::lift},
        {{"lift_over_diameter", "1", "lift over head diameter"}, &ValveFlow::lift_over_diameter},
        {{"cd_curtain", "1", "discharge coefficient on the curtain area"}, &ValveFlow::cd_curtain},
        {{"cd_seat", "1", "discharge coefficient on the circle of the port at the seat"},
         &ValveFlow::cd_seat},
        {{"cd_head", "1", "discharge coefficient on the circle of the valve head"},
         &ValveFlow::cd_head},
        {{"cd_valve", "1", "discharge coefficient of the valve alone on the curtain area"},
         &ValveFlow::cd_valve}};
    if (std::any_of(set_ups.begin(), set_ups.end(), [](const auto& s) { return s.valve; })) {
        for (const auto& [label, member] : numbers) {
            std::vector<double> values;
            for (const auto& set_up : set_ups) {
                values.push_back(set_up.converged && set_up.valve ? (*set_up.valve).*member
                                                                  : not_computed);
            }
            file.variable(label, {"set_up"}, values);
        }
    }
    if (std::any_of(
            set_ups.begin(), set_ups.end(), [](const auto& s) { return s.outlet_flow != 0; })) {
        std::vector<double> values;
        for (const auto& set_up : set_ups) {
            values.push_back(set_up.converged ? set_up.outlet_flow : not_computed);
        }
        file.variable({"outlet_flow", "kg s-1", "mass flow through the outlet of the header"},
                      {"set_up"},
                      values);
    }
}

/// Lists differ in length from set-up to set-up: the short ones end in NaN. A set-up that did not
/// converge has none.
void write_lists(GridWriter& file, const SetUps& set_ups) {
    using B = BenchResult;
    const std::vector<List> lists = {
        {{"flow_per_runner", "kg s-1", "mass flow of each runner, in runner order"},
         "runner",
         &B::flow_per_runner},
        {{"slot_x", "m", "place along the slot"}, "slot_station", &B::x},
        {{"flow_per_length", "kg s-1 m-1", "slot flow per length"},
         "slot_station",
         &B::flow_per_length},
        {{"hole_flow", "kg s-1", "mass flow of each hole of a row"}, "hole", &B::hole_flow},
        {{"pressure_x", "m", "place along the header"}, "pressure_station", &B::pressure_x},
        {{"static_pressure", "Pa", "static pressure along the header"},
         "pressure_station",
         &B::static_pressure},
    };
    std::string declared;
    for (const auto& list : lists) {
        std::size_t width = 0;
        for (const auto& other : lists) {
            if (other.along != list.along) continue;
            for (const auto& set_up : set_ups) {
                width = std::max(width, (set_up.*other.member).size());
            }
        }
        if (width == 0) continue;
        if (declared != list.along) file.dimension(list.along, width);
        declared = list.along;
        std::vector<double> values;
        for (const auto& set_up : set_ups) {
            std::vector<double> row;
            if (set_up.converged) row = set_up.*list.member;
            row.resize(width, not_computed);
            values.insert(values.end(), row.begin(), row.end());
        }
        file.variable(list.label, {"set_up", list.along}, values);
    }
}

/// Number of each runner of a set-up, 0 where it has fewer.
void write_runner_numbers(GridWriter& file, const SetUps& set_ups) {
    std::size_t width = 0;
    for (const auto& set_up : set_ups) width = std::max(width, set_up.flow_per_runner.size());
    if (width == 0) return;
    std::vector<int> values;
    for (const auto& set_up : set_ups) {
        std::vector<int> row;
        if (set_up.converged) row = set_up.runners;
        row.resize(width, 0);
        values.insert(values.end(), row.begin(), row.end());
    }
    file.variable({"runner_number", "1", "number of each runner, that of its cylinder; 0: none"},
                  {"set_up", "runner"},
                  values);
}

}  // namespace

void write_results(const std::string& path, const BenchStudyResult& result) {
    GridWriter file(path);
    write_root(file, {"plenair.bench", result.title, result.case_digest, result.case_text});
    std::vector<int> index, converged, iterations;
    std::vector<std::string> names, banks, failures, notes;
    for (const auto& set_up : result.set_ups) {
        index.push_back(static_cast<int>(index.size()) + 1);
        converged.push_back(set_up.converged ? 1 : 0);
        iterations.push_back(set_up.iterations);
        names.push_back(set_up.name);
        banks.push_back(set_up.bank);
        failures.push_back(set_up.failure);
        notes.push_back(joined_lines(set_up.notes));
    }
    file.dimension({"set_up", "1", "bench set-up, counted from 1"}, index);
    file.variable({"set_up_name", "1", "name of the set-up"}, {"set_up"}, names);
    file.variable(
        {"bank_name", "1", "bank whose parts they are; empty: the only one"}, {"set_up"}, banks);
    file.variable({"converged", "1", "1: converged, 0: not a result"}, {"set_up"}, converged);
    file.variable({"failure", "1", "why the set-up did not converge"}, {"set_up"}, failures);
    file.variable({"notes", "1", "warnings, one a line"}, {"set_up"}, notes);
    file.variable({"iterations", "1", "iterations of the steady state"}, {"set_up"}, iterations);
    write_numbers(file, result.set_ups);
    write_heads(file, result.set_ups);
    write_lists(file, result.set_ups);
    write_runner_numbers(file, result.set_ups);
    file.finish();
}

}  // namespace plenair
