#include "cases/store/check_solve.hpp"
#include "cases/store/fields.hpp"
#include "cases/store/grid_reader.hpp"
#include "cases/store/store.hpp"
#include "cases/study/curve.hpp"
#include "cases/study/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <stdexcept>

namespace plenair {

namespace {

using Values = std::vector<double>;

double stored(double value) {
    return std::isnan(value) ? 0 : value;
}

bool all_missing(const Values& values) {
    for (const double value : values) {
        if (!std::isnan(value)) return false;
    }
    return true;
}

/// Row of an array whose last dimension has the given width.
/// @throws std::out_of_range where the array is shorter than its dimensions say
Values row_of(const Values& all, std::size_t row, std::size_t width) {
    if (all.size() < (row + 1) * width) throw std::out_of_range("row");
    const auto begin = all.begin() + static_cast<std::ptrdiff_t>(row * width);
    return {begin, begin + static_cast<std::ptrdiff_t>(width)};
}

std::vector<std::string> split_lines(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

void expect_format(const GridReader& file, const std::string& path) {
    const std::string format = file.text_attribute("format");
    if (format != "plenair.solve") {
        throw ReadError(fmt::format(
            "{}: holds {}, not plenair.solve; name a file written by solve -o", path, format));
    }
    const int format_version = file.int_attribute("format_version");
    if (format_version != results_format_version) {
        throw ReadError(fmt::format(
            "{}: format version {} written by plenair {}; this program reads version {}: solve "
            "the case again",
            path,
            format_version,
            file.text_attribute("version"),
            results_format_version));
    }
}

std::vector<PointResult> read_points(const GridReader& file) {
    const auto names = file.strings("point_name"), failures = file.strings("failure"),
               notes = file.strings("notes");
    const auto converged = file.ints("converged"), cycles = file.ints("cycles");
    std::vector<PointResult> points(names.size());
    for (std::size_t p = 0; p < points.size(); ++p) {
        points[p].name = names[p];
        points[p].failure = failures.at(p);
        points[p].notes = split_lines(notes.at(p));
        points[p].converged = converged.at(p) != 0;
        points[p].cycles = cycles.at(p);
    }
    for (const auto& quantity : point_quantities()) {
        if (quantity.younger && !file.has(quantity.name)) continue;
        const Values values = file.doubles(quantity.name);
        for (std::size_t p = 0; p < points.size(); ++p) {
            points[p].*quantity.member = stored(values.at(p));
        }
    }
    return points;
}

void read_cylinders(const GridReader& file, std::vector<PointResult>& points) {
    if (!file.has("cylinder")) return;
    const auto numbers = file.ints("cylinder"), positions = file.ints("firing_position");
    for (auto& point : points) {
        for (std::size_t c = 0; c < numbers.size(); ++c) {
            auto& cylinder = point.cylinders.emplace_back();
            cylinder.cylinder = numbers[c];
            cylinder.firing_position = positions.at(c);
        }
    }
    for (const auto& quantity : cylinder_quantities()) {
        if (quantity.younger && !file.has(quantity.name)) continue;
        const Values values = file.doubles(quantity.name);
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (std::size_t c = 0; c < numbers.size(); ++c) {
                points[p].cylinders[c].*quantity.member = stored(values.at(p * numbers.size() + c));
            }
        }
    }
}

void read_band_parts(const GridReader& file, std::vector<PointResult>& points) {
    if (!file.has("band_part_name")) return;
    const auto names = file.strings("band_part_name");
    for (auto& point : points) {
        for (const auto& name : names) {
            point.band_parts.emplace_back().name = name;
        }
    }
    for (const auto& quantity : band_part_quantities()) {
        const Values values = file.doubles(quantity.name);
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (std::size_t k = 0; k < names.size(); ++k) {
                points[p].band_parts[k].*quantity.member = values.at(p * names.size() + k);
            }
        }
    }
    for (auto& point : points) {
        std::erase_if(point.band_parts, [](const BandPart& part) { return std::isnan(part.bias); });
        std::stable_sort(point.band_parts.begin(),
                         point.band_parts.end(),
                         [](const auto& a, const auto& b) { return a.bias > b.bias; });
    }
}

/// Rows of the banks as every point has them; older files have none.
void read_banks(const GridReader& file, std::vector<PointResult>& points) {
    if (!file.has("bank")) return;
    const auto names = file.strings("bank_name");
    const auto numbers = file.ints("cylinder"), bank_of = file.ints("bank_of_cylinder"),
               place = file.ints("place_along_x"), end = file.ints("row_end");
    std::vector<BankResult> banks(names.size());
    for (std::size_t b = 0; b < banks.size(); ++b) {
        banks[b].name = names[b];
        for (int at = 1; at <= static_cast<int>(numbers.size()); ++at) {
            for (std::size_t c = 0; c < numbers.size(); ++c) {
                if (bank_of.at(c) != static_cast<int>(b) + 1 || place.at(c) != at) continue;
                banks[b].cylinders.push_back(numbers[c]);
                if (end.at(c) < 0) banks[b].first.push_back(numbers[c]);
                if (end.at(c) > 0) banks[b].last.push_back(numbers[c]);
            }
        }
    }
    std::vector<Values> values;
    std::vector<double BankResult::*> members;
    for (const auto& quantity : bank_quantities()) {
        if (quantity.younger && !file.has(quantity.name)) continue;
        values.push_back(file.doubles(quantity.name));
        members.push_back(quantity.member);
    }
    for (std::size_t p = 0; p < points.size(); ++p) {
        if (!points[p].converged) continue;
        points[p].banks = banks;
        for (std::size_t b = 0; b < banks.size(); ++b) {
            for (std::size_t q = 0; q < values.size(); ++q) {
                points[p].banks[b].*members[q] = stored(values[q].at(p * banks.size() + b));
            }
        }
        for (std::size_t c = 0; c < points[p].cylinders.size(); ++c) {
            points[p].cylinders[c].bank = std::max(bank_of.at(c) - 1, 0);
        }
    }
}

void read_pressures(const GridReader& file, std::vector<PointResult>& points) {
    const std::string ending = "_pressure_mean";
    for (const auto& name : file.names()) {
        if (!name.ends_with(ending)) continue;
        const std::string chamber = name.substr(0, name.size() - ending.size());
        const Values x = file.doubles(chamber + "_x"), mean = file.doubles(name),
                     low = file.doubles(chamber + "_pressure_low"),
                     high = file.doubles(chamber + "_pressure_high");
        for (std::size_t p = 0; p < points.size(); ++p) {
            Values row = row_of(mean, p, x.size());
            if (all_missing(row)) continue;
            points[p].pressures.push_back({file.text_attribute(name, "part"),
                                           x,
                                           row,
                                           row_of(low, p, x.size()),
                                           row_of(high, p, x.size())});
        }
    }
}

void read_slots(const GridReader& file, std::vector<PointResult>& points) {
    for (int s = 1; file.has(fmt::format("slot_{}_x", s)); ++s) {
        const Values x = file.doubles(fmt::format("slot_{}_x", s)),
                     flow = file.doubles(fmt::format("slot_{}_flow_per_length", s));
        const std::string bank =
            file.has("bank") && file.ints("bank").size() > 1
                ? file.text_attribute(fmt::format("slot_{}_flow_per_length", s), "bank")
                : std::string();
        for (std::size_t p = 0; p < points.size(); ++p) {
            const Values row = row_of(flow, p, x.size());
            if (!all_missing(row)) points[p].slots.push_back({x, row, bank});
        }
    }
}

/// The row without the NaN that fill it up to the longest point.
Values trimmed_row(const Values& all, std::size_t row, std::size_t width, std::size_t kept) {
    Values values = row_of(all, row, width);
    values.resize(kept);
    return values;
}

/// Steps of each point and the width to which they are filled up.
std::size_t read_crank_angles(const GridReader& file, std::vector<PointResult>& points) {
    const std::size_t width = file.extents("crank_angle").at(1);
    const Values all = file.doubles("crank_angle");
    for (std::size_t p = 0; p < points.size(); ++p) {
        Values angle = row_of(all, p, width);
        while (!angle.empty() && std::isnan(angle.back())) angle.pop_back();
        points[p].crank_angle = angle;
    }
    return width;
}

void read_traces(const GridReader& file, std::vector<PointResult>& points) {
    if (!file.has("crank_angle")) return;
    const std::size_t width = read_crank_angles(file, points);
    for (const auto& name : file.names()) {
        if (!name.starts_with("trace_")) continue;
        const bool by_cylinder = file.extents(name).size() == 3;
        const auto numbers = by_cylinder ? file.ints("cylinder") : std::vector<int>{0};
        const Values all = file.doubles(name);
        for (std::size_t p = 0; p < points.size(); ++p) {
            const std::size_t kept = points[p].crank_angle.size();
            for (std::size_t c = 0; c < numbers.size() && kept > 0; ++c) {
                const Values row = trimmed_row(all, p * numbers.size() + c, width, kept);
                if (all_missing(row)) continue;
                points[p].traces.push_back({file.text_attribute(name, "quantity"),
                                            numbers[c],
                                            file.text_attribute(name, "units"),
                                            row});
            }
        }
    }
}

/// Of the worst speed, spread and biases alone are stored.
void read_curves(const GridReader& file, SolveResult& result) {
    if (!file.has("curve_name")) return;
    const auto names = file.strings("curve_name"), of_point = file.strings("point_curve");
    const auto numbers = file.has("cylinder") ? file.ints("cylinder") : std::vector<int>{};
    const Values speed = file.doubles("curve_worst_speed"),
                 spread = file.doubles("curve_worst_spread"),
                 band = file.doubles("curve_worst_band"),
                 spread_band = file.doubles("curve_worst_spread_band"),
                 gain = file.doubles("curve_worst_gain"),
                 uncertainty = file.doubles("curve_worst_speed_doubt");
    const Values bias = numbers.empty() ? Values{} : file.doubles("curve_worst_bias");
    const Values none(names.size(), not_computed);
    const auto if_there = [&](const std::string& name) {
        return file.has(name) ? file.doubles(name) : none;
    };
    const Values plain_spread = if_there("curve_worst_no_slot_spread"),
                 plain_air = if_there("curve_worst_no_slot_air_flow");
    for (std::size_t k = 0; k < names.size(); ++k) {
        CurveResult curve;
        curve.name = names[k];
        const auto first = std::find(of_point.begin(), of_point.end(), names[k]);
        curve.first = static_cast<std::size_t>(first - of_point.begin());
        curve.count =
            static_cast<std::size_t>(std::count(of_point.begin(), of_point.end(), names[k]));
        if (!std::isnan(speed.at(k))) {
            PointResult& worst = curve.worst.emplace();
            worst.name = curve_point_name(names[k], speed[k]);
            worst.converged = true;
            worst.speed = speed[k];
            worst.spread = spread.at(k);
            worst.bias_band = stored(band.at(k));
            worst.spread_band = stored(spread_band.at(k));
            worst.no_slot_spread = stored(plain_spread.at(k));
            worst.no_slot_air_flow = stored(plain_air.at(k));
            for (std::size_t c = 0; c < numbers.size(); ++c) {
                worst.cylinders.push_back(
                    {.cylinder = numbers[c], .bias = bias.at(k * numbers.size() + c)});
            }
            curve.spread_gain = stored(gain.at(k));
            curve.speed_uncertainty = stored(uncertainty.at(k));
        }
        result.curves.push_back(std::move(curve));
    }
}

void read_reasons(const GridReader& file, SolveResult& result) {
    if (!file.has("cause_name") && !file.has("moved_key")) return;
    Reasons& reasons = result.reasons;
    reasons.words = file.text_attribute("reasons");
    reasons.point = file.text_attribute("reasons_point");
    if (file.has("cause_name")) {
        const auto names = file.strings("cause_name");
        const Values spread = file.doubles("cause_spread");
        for (std::size_t i = 0; i < names.size(); ++i) {
            reasons.spread += spread.at(i);
            if (names[i] == left_over) {
                reasons.rest = spread[i];
            } else {
                reasons.parts.push_back({names[i], spread[i]});
            }
        }
    }
    if (file.has("moved_key")) {
        const auto names = file.strings("moved_key"), changes = file.strings("moved_by");
        const Values spread = file.doubles("moved_spread"), loss = file.doubles("moved_slot_loss");
        for (std::size_t i = 0; i < names.size(); ++i) {
            reasons.sensitivities.push_back({names[i], changes.at(i), spread.at(i), loss.at(i)});
        }
    }
}

}  // namespace

SolveResult read_results(const std::string& path) try {
    const GridReader file(path);
    expect_format(file, path);
    SolveResult result;
    result.title = file.text_attribute("title");
    result.case_digest = file.text_attribute("case_digest");
    result.case_text = file.text_attribute("case_text");
    result.summary = file.text_attribute("summary");
    result.points = read_points(file);
    read_cylinders(file, result.points);
    read_band_parts(file, result.points);
    read_banks(file, result.points);
    read_pressures(file, result.points);
    read_slots(file, result.points);
    read_traces(file, result.points);
    read_curves(file, result);
    read_reasons(file, result);
    expect_fitting(result, path);
    return result;
} catch (const std::out_of_range&) {
    throw ReadError(fmt::format(
        "{}: the sizes of its datasets do not fit together; solve the case again", path));
}

}  // namespace plenair
