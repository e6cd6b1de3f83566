#include "cases/store/fields.hpp"
#include "cases/store/grid_writer.hpp"
#include "cases/store/root.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <set>

namespace plenair {

namespace {

using Points = std::vector<PointResult>;

/// Cylinder numbers over all points, ascending: the cylinder axis.
std::vector<int> cylinder_numbers(const Points& points) {
    std::set<int> numbers;
    for (const auto& point : points) {
        for (const auto& cylinder : point.cylinders) numbers.insert(cylinder.cylinder);
        for (const auto& trace : point.traces) {
            if (trace.cylinder > 0) numbers.insert(trace.cylinder);
        }
    }
    return {numbers.begin(), numbers.end()};
}

std::size_t place_of(const std::vector<int>& numbers, int cylinder) {
    return static_cast<std::size_t>(std::lower_bound(numbers.begin(), numbers.end(), cylinder) -
                                    numbers.begin());
}

void write_points(GridWriter& file, const Points& points) {
    std::vector<int> index, converged, cycles;
    std::vector<std::string> names, failures, notes;
    for (const auto& point : points) {
        index.push_back(static_cast<int>(index.size()) + 1);
        converged.push_back(point.converged ? 1 : 0);
        cycles.push_back(point.cycles);
        names.push_back(point.name);
        failures.push_back(point.failure);
        notes.push_back(joined_lines(point.notes));
    }
    file.dimension({"point", "1", "operating point, counted from 1"}, index);
    file.variable({"point_name", "1", "name of the operating point"}, {"point"}, names);
    file.variable({"converged", "1", "1: converged, 0: not a result"}, {"point"}, converged);
    file.variable({"failure", "1", "why the point did not converge"}, {"point"}, failures);
    file.variable({"notes", "1", "warnings, one a line"}, {"point"}, notes);
    file.variable({"cycles", "1", "engine cycles computed"}, {"point"}, cycles);
    for (const auto& quantity : point_quantities()) {
        std::vector<double> values;
        for (const auto& point : points) {
            values.push_back(quantity.stored(point.*quantity.member, point.converged));
        }
        file.variable(label_of(quantity), {"point"}, values);
    }
}

/// Parts of the bands: every name that a point has, NaN where another point has not.
void write_band_parts(GridWriter& file, const Points& points) {
    std::vector<std::string> names;
    for (const auto& point : points) {
        for (const auto& part : point.band_parts) {
            if (std::find(names.begin(), names.end(), part.name) == names.end()) {
                names.push_back(part.name);
            }
        }
    }
    if (names.empty()) return;
    std::vector<int> index(names.size());
    std::iota(index.begin(), index.end(), 1);
    file.dimension({"band_part", "1", "cause of a band, counted from 1"}, index);
    file.variable({"band_part_name", "1", "cause of a band"}, {"band_part"}, names);
    for (const auto& quantity : band_part_quantities()) {
        std::vector<double> values(points.size() * names.size(), not_computed);
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (const auto& part : points[p].band_parts) {
                const auto at = std::find(names.begin(), names.end(), part.name) - names.begin();
                values[p * names.size() + static_cast<std::size_t>(at)] = part.*quantity.member;
            }
        }
        file.variable(label_of(quantity), {"point", "band_part"}, values);
    }
}

void write_cylinders(GridWriter& file, const Points& points, const std::vector<int>& numbers) {
    if (numbers.empty()) return;
    std::vector<int> positions(numbers.size(), 0);
    for (const auto& point : points) {
        for (const auto& c : point.cylinders) {
            positions[place_of(numbers, c.cylinder)] = c.firing_position;
        }
    }
    file.dimension({"cylinder", "1", "cylinder number"}, numbers);
    file.variable(
        {"firing_position", "1", "place in the firing order, from 1"}, {"cylinder"}, positions);
    for (const auto& quantity : cylinder_quantities()) {
        std::vector<double> values(points.size() * numbers.size(), not_computed);
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (const auto& c : points[p].cylinders) {
                values[p * numbers.size() + place_of(numbers, c.cylinder)] =
                    quantity.stored(c.*quantity.member, points[p].converged);
            }
        }
        file.variable(label_of(quantity), {"point", "cylinder"}, values);
    }
}

/// The banks of a result, the same at every point that has cylinders.
const std::vector<BankResult>& banks_of(const Points& points) {
    static const std::vector<BankResult> none;
    const auto found = std::find_if(
        points.begin(), points.end(), [](const auto& point) { return !point.banks.empty(); });
    return found == points.end() ? none : found->banks;
}

/// Who breathes from which bank, in which order along x, and who stands at an end.
void write_rows(GridWriter& file,
                const std::vector<BankResult>& banks,
                const std::vector<int>& numbers) {
    std::vector<int> bank_of(numbers.size(), 0), place(numbers.size(), 0), end(numbers.size(), 0);
    for (std::size_t b = 0; b < banks.size(); ++b) {
        for (std::size_t i = 0; i < banks[b].cylinders.size(); ++i) {
            const std::size_t at = place_of(numbers, banks[b].cylinders[i]);
            bank_of[at] = static_cast<int>(b) + 1;
            place[at] = static_cast<int>(i) + 1;
        }
        for (const int number : banks[b].first) end[place_of(numbers, number)] = -1;
        for (const int number : banks[b].last) end[place_of(numbers, number)] = 1;
    }
    file.variable({"bank_of_cylinder", "1", "bank, counted from 1"}, {"cylinder"}, bank_of);
    file.variable({"place_along_x", "1", "place in the row of its bank by rising x, from 1"},
                  {"cylinder"},
                  place);
    file.variable({"row_end", "1", "-1: at x = 0 of its row, 1: at the far end, 0: between"},
                  {"cylinder"},
                  end);
}

void write_banks(GridWriter& file, const Points& points, const std::vector<int>& numbers) {
    const auto& banks = banks_of(points);
    if (banks.empty() || numbers.empty()) return;
    std::vector<int> index;
    std::vector<std::string> names;
    for (const auto& bank : banks) {
        index.push_back(static_cast<int>(index.size()) + 1);
        names.push_back(bank.name);
    }
    file.dimension({"bank", "1", "bank, counted from 1"}, index);
    file.variable(
        {"bank_name", "1", "name of the bank, empty where it is the only one"}, {"bank"}, names);
    write_rows(file, banks, numbers);
    for (const auto& quantity : bank_quantities()) {
        std::vector<double> values(points.size() * banks.size(), not_computed);
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (std::size_t b = 0; b < points[p].banks.size() && b < banks.size(); ++b) {
                values[p * banks.size() + b] =
                    quantity.stored(points[p].banks[b].*quantity.member, points[p].converged);
            }
        }
        file.variable(label_of(quantity), {"point", "bank"}, values);
    }
}

/// @throws WriteError where a list has not the size of its grid
void expect_size(const std::vector<double>& values, std::size_t width, const std::string& what) {
    if (values.size() == width) return;
    throw WriteError(fmt::format("{}: {} values on a grid of {}", what, values.size(), width));
}

std::ptrdiff_t row_start(std::size_t row, std::size_t width) {
    return static_cast<std::ptrdiff_t>(row * width);
}

/// Copies one point's values into its row; points of one case share their cells.
void fill_row(std::vector<double>& all,
              std::size_t row,
              std::size_t width,
              const std::vector<double>& values,
              const std::string& what) {
    expect_size(values, width, what);
    std::copy(values.begin(), values.end(), all.begin() + row_start(row, width));
}

/// Cycle mean, lowest and highest static pressure along each chamber.
void write_pressures(GridWriter& file, const Points& points) {
    std::set<std::string> written;
    for (const auto& first : points) {
        for (const auto& chamber : first.pressures) {
            if (!written.insert(chamber.part).second || chamber.x.empty()) continue;
            const std::string name = dataset_name(chamber.part);
            const std::size_t width = chamber.x.size();
            file.dimension({name + "_x", "m", "place along the " + chamber.part}, chamber.x);
            std::vector<double> mean(points.size() * width, not_computed), low = mean, high = mean;
            for (std::size_t p = 0; p < points.size(); ++p) {
                for (const auto& profile : points[p].pressures) {
                    if (profile.part != chamber.part) continue;
                    const std::string what = points[p].name + ": pressure of " + chamber.part;
                    fill_row(mean, p, width, profile.mean, what);
                    fill_row(low, p, width, profile.low, what);
                    fill_row(high, p, width, profile.high, what);
                }
            }
            const GridWriter::Dimensions over = {"point", name + "_x"};
            const std::string in = " static pressure along the " + chamber.part;
            file.variable({name + "_pressure_mean", "Pa", "cycle mean" + in}, over, mean);
            file.attribute(name + "_pressure_mean", "part", chamber.part);
            file.variable({name + "_pressure_low", "Pa", "lowest" + in}, over, low);
            file.variable({name + "_pressure_high", "Pa", "highest" + in}, over, high);
        }
    }
}

/// Slots counted from 1 in the order of the banks.
void write_slots(GridWriter& file, const Points& points) {
    std::size_t count = 0;
    for (const auto& point : points) count = std::max(count, point.slots.size());
    for (std::size_t s = 0; s < count; ++s) {
        const auto first = std::find_if(points.begin(), points.end(), [s](const auto& point) {
            return point.slots.size() > s && !point.slots[s].x.empty();
        });
        if (first == points.end()) continue;
        const std::string name = fmt::format("slot_{}", s + 1);
        const std::size_t width = first->slots[s].x.size();
        file.dimension({name + "_x", "m", "place along the slot"}, first->slots[s].x);
        std::vector<double> flow(points.size() * width, not_computed);
        for (std::size_t p = 0; p < points.size(); ++p) {
            if (points[p].slots.size() <= s) continue;
            fill_row(
                flow, p, width, points[p].slots[s].flow_per_length, points[p].name + ": slot flow");
        }
        file.variable({name + "_flow_per_length", "kg s-1 m-1", "cycle mean slot flow per length"},
                      {"point", name + "_x"},
                      flow);
        if (!first->slots[s].bank.empty()) {
            file.attribute(name + "_flow_per_length", "bank", first->slots[s].bank);
        }
    }
}

/// Traces of one quantity. Points keep their own steps: a short one ends in NaN.
void write_trace(GridWriter& file,
                 const Points& points,
                 const Trace& kind,
                 const std::vector<int>& numbers,
                 std::size_t width) {
    const bool by_cylinder = kind.cylinder > 0;
    const std::size_t rows = by_cylinder ? numbers.size() : 1;
    std::vector<double> values(points.size() * rows * width, not_computed);
    for (std::size_t p = 0; p < points.size(); ++p) {
        for (const auto& trace : points[p].traces) {
            if (trace.quantity != kind.quantity) continue;
            const std::size_t row =
                p * rows + (by_cylinder ? place_of(numbers, trace.cylinder) : 0);
            const std::string what = points[p].name + ": trace " + trace.quantity;
            expect_size(trace.value, points[p].crank_angle.size(), what);
            std::copy(
                trace.value.begin(), trace.value.end(), values.begin() + row_start(row, width));
        }
    }
    GridWriter::Dimensions over = {"point", "sample"};
    if (by_cylinder) over.insert(over.begin() + 1, "cylinder");
    const std::string name = "trace_" + dataset_name(kind.quantity);
    std::string words = kind.quantity;
    std::replace(words.begin(), words.end(), '_', ' ');
    file.variable({name, kind.unit, words + " over the last cycle"}, over, values);
    file.attribute(name, "quantity", kind.quantity);
}

void write_traces(GridWriter& file, const Points& points, const std::vector<int>& numbers) {
    std::size_t width = 0;
    for (const auto& point : points) width = std::max(width, point.crank_angle.size());
    if (width == 0) return;
    file.dimension("sample", width);
    std::vector<double> angles;
    for (const auto& point : points) {
        std::vector<double> row = point.crank_angle;
        row.resize(width, not_computed);
        angles.insert(angles.end(), row.begin(), row.end());
    }
    file.variable({"crank_angle", "rad", "crank angle after firing TDC of cylinder 1"},
                  {"point", "sample"},
                  angles);
    std::set<std::string> written;
    for (const auto& point : points) {
        for (const auto& trace : point.traces) {
            if (!written.insert(trace.quantity).second) continue;
            write_trace(file, points, trace, numbers, width);
        }
    }
}

/// Which curve over speed each point belongs to, and the worst speed of each.
void write_curves(GridWriter& file, const SolveResult& result, const std::vector<int>& numbers) {
    if (result.curves.empty()) return;
    std::vector<std::string> of_point;
    for (std::size_t p = 0; p < result.points.size(); ++p) {
        const auto* curve = result.curve_of(p);
        of_point.push_back(curve == nullptr ? "" : curve->name);
    }
    file.variable({"point_curve", "1", "curve that the point belongs to"}, {"point"}, of_point);
    std::vector<int> index;
    std::vector<std::string> names;
    std::vector<double> speed, spread, band, spread_band, gain, uncertainty;
    std::vector<double> plain_spread, plain_air;
    std::vector<double> bias(result.curves.size() * numbers.size(), not_computed);
    for (const auto& curve : result.curves) {
        const std::size_t row = index.size() * numbers.size();
        index.push_back(static_cast<int>(index.size()) + 1);
        names.push_back(curve.name);
        speed.push_back(curve.worst ? curve.worst->speed : not_computed);
        spread.push_back(curve.worst ? curve.worst->spread : not_computed);
        band.push_back(curve.worst ? curve.worst->bias_band : not_computed);
        spread_band.push_back(curve.worst ? curve.worst->spread_band : not_computed);
        gain.push_back(curve.worst ? curve.spread_gain : not_computed);
        const bool plain = curve.worst && curve.worst->no_slot_air_flow > 0;
        plain_spread.push_back(plain ? curve.worst->no_slot_spread : not_computed);
        plain_air.push_back(plain ? curve.worst->no_slot_air_flow : not_computed);
        uncertainty.push_back(curve.worst ? curve.speed_uncertainty : not_computed);
        for (const auto& c : curve.worst ? curve.worst->cylinders : std::vector<CylinderResult>{}) {
            bias[row + place_of(numbers, c.cylinder)] = c.bias;
        }
    }
    file.dimension({"curve", "1", "curve over speed, counted from 1"}, index);
    file.variable({"curve_name", "1", "name of the curve"}, {"curve"}, names);
    file.variable(
        {"curve_worst_speed", "rad s-1", "speed of the largest spread"}, {"curve"}, speed);
    file.variable({"curve_worst_speed_doubt", "rad s-1", "how far that speed may be off"},
                  {"curve"},
                  uncertainty);
    file.variable({"curve_worst_spread", "1", "spread at that speed"}, {"curve"}, spread);
    file.variable({"curve_worst_band", "1", "half width of its biases"}, {"curve"}, band);
    file.variable(
        {"curve_worst_spread_band", "1", "half width of that spread"}, {"curve"}, spread_band);
    file.variable(
        {"curve_worst_gain", "1", "that spread less the largest of the steps"}, {"curve"}, gain);
    file.variable({"curve_worst_no_slot_spread", "1", "spread at that speed without the slot"},
                  {"curve"},
                  plain_spread);
    file.variable(
        {"curve_worst_no_slot_air_flow", "kg s-1", "air flow likewise"}, {"curve"}, plain_air);
    if (!numbers.empty()) {
        file.variable({"curve_worst_bias", "1", "bias of each cylinder at that speed"},
                      {"curve", "cylinder"},
                      bias);
    }
}

/// Causes and sensitivities of the point with the most spread.
void write_reasons(GridWriter& file, const Reasons& reasons) {
    if (reasons.point.empty()) return;
    file.attribute("reasons", reasons.words);
    file.attribute("reasons_point", reasons.point);
    std::vector<int> index;
    std::vector<std::string> names, changes;
    std::vector<double> spread, loss;
    for (const auto& part : reasons.parts) {
        index.push_back(static_cast<int>(index.size()) + 1);
        names.push_back(part.name);
        spread.push_back(part.spread);
    }
    if (!index.empty()) {
        index.push_back(static_cast<int>(index.size()) + 1);
        names.emplace_back(left_over);
        spread.push_back(reasons.rest);
        file.dimension({"cause", "1", "cause of the spread, counted from 1"}, index);
        file.variable({"cause_name", "1", "name of the cause"}, {"cause"}, names);
        file.variable({"cause_spread", "1", "its part of the spread"}, {"cause"}, spread);
    }
    index.clear(), names.clear(), spread.clear();
    for (const auto& each : reasons.sensitivities) {
        index.push_back(static_cast<int>(index.size()) + 1);
        names.push_back(each.key);
        changes.push_back(each.change);
        spread.push_back(each.spread);
        loss.push_back(each.slot_loss);
    }
    if (index.empty()) return;
    file.dimension({"moved", "1", "drawn dimension, counted from 1"}, index);
    file.variable({"moved_key", "1", "its entry in the case file"}, {"moved"}, names);
    file.variable({"moved_by", "1", "how far it was moved"}, {"moved"}, changes);
    file.variable({"moved_spread", "1", "change of the spread"}, {"moved"}, spread);
    file.variable({"moved_slot_loss", "Pa", "change of the slot loss"}, {"moved"}, loss);
}

}  // namespace

void write_results(const std::string& path, const SolveResult& result) {
    GridWriter file(path);
    write_root(file, {"plenair.solve", result.title, result.case_digest, result.case_text});
    file.attribute("summary", result.summary);
    const std::vector<int> numbers = cylinder_numbers(result.points);
    write_points(file, result.points);
    write_cylinders(file, result.points, numbers);
    write_band_parts(file, result.points);
    write_banks(file, result.points, numbers);
    write_pressures(file, result.points);
    write_slots(file, result.points);
    write_traces(file, result.points, numbers);
    write_curves(file, result, numbers);
    write_reasons(file, result.reasons);
    file.finish();
}

}  // namespace plenair
