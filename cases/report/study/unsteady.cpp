#include "cases/report/unsteady.hpp"

#include "cases/report/csv/cell.hpp"
#include "cases/report/json/tools.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

namespace plenair {

namespace {

using geometry::to_unit;

struct KindUnit {
    const char* shown;
    const char* si;
    int digits;  ///< behind the point, as shown
};

KindUnit unit_of(SeriesKind kind) {
    switch (kind) {
        case SeriesKind::pressure:
            return {"kPa", "Pa", 3};
        case SeriesKind::temperature:
            return {"K", "K", 2};
        case SeriesKind::flow:
            return {"g/s", "kg/s", 3};
        case SeriesKind::mass:
            return {"mg", "kg", 1};
        case SeriesKind::angle:
            return {"deg", "rad", 1};
    }
    return {"", "", 0};
}

/// "plenum pressure at x = 0" as "plenum_pressure_at_x_0".
std::string column_name(const std::string& name) {
    std::string made;
    for (const char c : name) {
        if (std::isalnum(static_cast<unsigned char>(c)) != 0) {
            made += c;
        } else if (!made.empty() && made.back() != '_') {
            made += '_';
        }
    }
    return made;
}

/// "kg/s" as "kg_s".
std::string unit_name(const std::string& unit) {
    return column_name(unit);
}

Json head(const std::string& format, const OfCase& of) {
    return json_head(format, of.title, of.digest);
}

void add_foot(Json& json, const OfCase& of) {
    json["assumed"] = json_assumed(of.assumed);
    json["case_text"] = of.text;
}

std::string foot(const OfCase& of) {
    return "\n" + assumed_lines(of.assumed) + model_limits() + "\n" + cautions();
}

constexpr auto series_row = "  {:<36} {:>5} {:>11} {:>11} {:>9} {:>11} {:>9} {:>11}\n";

std::string series_line(const Series& series, const std::vector<double>& time) {
    const KindUnit unit = unit_of(series.kind);
    const auto& v = series.value;
    const auto least = static_cast<std::size_t>(std::min_element(v.begin(), v.end()) - v.begin());
    const auto most = static_cast<std::size_t>(std::max_element(v.begin(), v.end()) - v.begin());
    const auto shown = [&](double value) { return fixed(to_unit(value, unit.shown), unit.digits); };
    const auto at = [&](std::size_t i) { return fixed(to_unit(time[i], "ms"), 2); };
    return fmt::format(series_row,
                       series.name,
                       unit.shown,
                       shown(v.front()),
                       shown(v[least]),
                       at(least),
                       shown(v[most]),
                       at(most),
                       shown(v.back()));
}

double phase_deg(std::complex<double> answer) {
    return std::arg(answer) * 180.0 / std::numbers::pi;
}

/// How much broader peaks are than the rig's own, where it rings on.
std::string ringing(const ResponseResult& rig) {
    if (rig.damping <= 0) {
        return "";
    }
    return fmt::format(
        "the rig rings on after {} s: to cut nothing off, the answer has damping beside its own, "
        "and peaks are lower, and broader by {} Hz; raise response.longest for sharper ones",
        fixed(rig.followed, 2),
        fixed(rig.damping / (2.0 * std::numbers::pi), 2));
}

}  // namespace

std::string terminal_text(const TransientStudyResult& result, bool colour) {
    const Paint paint(colour);
    const TransientResult& rig = result.rig;
    std::string text = report_head(paint, result.of.title, result.of.digest) + "\n";
    if (!rig.finished) {
        text += paint.alarm("  did not come to its end: " + rig.failure) + "\n";
    }
    if (rig.time.empty()) {
        return text + "  This is not a result: nothing was reached.\n" + foot(result.of);
    }
    text +=
        paint.heading(fmt::format("0 to {} ms", fixed(to_unit(rig.time.back(), "ms"), 2))) + "\n";
    text += fmt::format(
        series_row, "", "unit", "at start", "least", "at ms", "largest", "at ms", "at end");
    for (const Series& series : rig.series) {
        text += series_line(series, rig.time);
    }
    text += fmt::format("  {} steps; books of mass {}, of energy {}; every time by --csv\n",
                        rig.steps,
                        scientific(rig.mass_balance),
                        scientific(rig.energy_balance));
    return text + foot(result.of);
}

std::string json_text(const TransientStudyResult& result) {
    Json json = head("plenair.transient/1", result.of);
    json["finished"] = result.rig.finished;
    if (!result.rig.finished) {
        json["failure"] = result.rig.failure;
    }
    json["time_s"] = json_numbers(result.rig.time);
    json["series"] = Json::array();
    for (const Series& series : result.rig.series) {
        json["series"].push_back({{"name", series.name},
                                  {"unit", unit_of(series.kind).si},
                                  {"value", json_numbers(series.value)}});
    }
    json["steps"] = result.rig.steps;
    json["mass_balance"] = json_number(result.rig.mass_balance);
    json["energy_balance"] = json_number(result.rig.energy_balance);
    add_foot(json, result.of);
    return json_dump(json);
}

std::string csv_text(const TransientStudyResult& result) {
    const TransientResult& rig = result.rig;
    std::vector<std::string> cells{"time_ms"};
    for (const Series& series : rig.series) {
        cells.push_back(column_name(series.name) + "_" + unit_name(unit_of(series.kind).shown));
    }
    cells.emplace_back("case_digest");
    std::string text = csv_line(cells);
    for (std::size_t i = 0; i < rig.time.size(); ++i) {
        cells = {csv_cell(to_unit(rig.time[i], "ms"))};
        for (const Series& series : rig.series) {
            cells.push_back(csv_cell(to_unit(series.value[i], unit_of(series.kind).shown)));
        }
        cells.push_back(csv_cell(result.of.digest));
        text += csv_line(cells);
    }
    return text;
}

std::string terminal_text(const ResponseStudyResult& result, bool colour) {
    const Paint paint(colour);
    const ResponseResult& rig = result.rig;
    std::string text = report_head(paint, result.of.title, result.of.digest) + "\n";
    if (!rig.finished) {
        return text + paint.alarm("  did not come to its end: " + rig.failure) + "\n" +
               "  This is not a result: no answer is given.\n" + foot(result.of);
    }
    text += paint.heading(fmt::format("Peaks from {} to {} Hz, per swing of the {}'s pressure",
                                      geometry::format_number(rig.frequency.front()),
                                      geometry::format_number(rig.frequency.back()),
                                      result.in_room ? "room" : "source")) +
            "\n";
    constexpr auto row = "  {:<36} {:>10} {:>10}\n";
    text += fmt::format(row, "", "Hz", "Pa per Pa");
    for (const ResponsePeak& peak : result.peaks) {
        text += fmt::format(
            row, rig.series[peak.series].name, fixed(peak.frequency, 2), fixed(peak.per_pascal, 2));
    }
    if (result.peaks.empty()) {
        text += "  no pressure has a peak within this range\n";
    }
    if (const std::string note = ringing(rig); !note.empty()) {
        text += paint.caution("  note: " + note) + "\n";
    }
    text += fmt::format("  followed {} ms in {} steps; amplitude and phase of all by --csv\n",
                        fixed(to_unit(rig.followed, "ms"), 1),
                        rig.steps);
    return text + foot(result.of);
}

std::string json_text(const ResponseStudyResult& result) {
    const ResponseResult& rig = result.rig;
    Json json = head("plenair.response/1", result.of);
    json["finished"] = rig.finished;
    if (!rig.finished) {
        json["failure"] = rig.failure;
    }
    json["swings"] = result.in_room ? "room" : "source";
    json["frequency_hz"] = json_numbers(rig.frequency);
    json["series"] = Json::array();
    for (const AnsweringSeries& series : rig.series) {
        Json amplitude = Json::array(), phase = Json::array();
        for (const auto& answer : series.per_pascal) {
            amplitude.push_back(json_number(std::abs(answer)));
            phase.push_back(json_number(std::arg(answer)));
        }
        json["series"].push_back({{"name", series.name},
                                  {"unit", std::string(unit_of(series.kind).si) + "/Pa"},
                                  {"amplitude", std::move(amplitude)},
                                  {"phase_rad", std::move(phase)}});
    }
    json["peaks"] = Json::array();
    for (const ResponsePeak& peak : result.peaks) {
        json["peaks"].push_back({{"name", rig.series[peak.series].name},
                                 {"frequency_hz", json_number(peak.frequency)},
                                 {"amplitude", json_number(peak.per_pascal)}});
    }
    json["followed_s"] = json_number(rig.followed);
    json["damping_1_s"] = json_number(rig.damping);
    json["notes"] = Json::array();
    if (const std::string note = ringing(rig); rig.finished && !note.empty()) {
        json["notes"].push_back(note);
    }
    json["steps"] = rig.steps;
    add_foot(json, result.of);
    return json_dump(json);
}

std::string csv_text(const ResponseStudyResult& result) {
    const ResponseResult& rig = result.rig;
    std::vector<std::string> cells{"frequency_Hz"};
    for (const AnsweringSeries& series : rig.series) {
        const std::string name = column_name(series.name);
        cells.push_back(name + "_" + unit_name(unit_of(series.kind).si) + "_per_Pa");
        cells.push_back(name + "_phase_deg");
    }
    cells.emplace_back("case_digest");
    std::string text = csv_line(cells);
    for (std::size_t i = 0; rig.finished && i < rig.frequency.size(); ++i) {
        cells = {csv_cell(rig.frequency[i])};
        for (const AnsweringSeries& series : rig.series) {
            cells.push_back(csv_cell(std::abs(series.per_pascal[i])));
            cells.push_back(csv_cell(phase_deg(series.per_pascal[i])));
        }
        cells.push_back(csv_cell(result.of.digest));
        text += csv_line(cells);
    }
    return text;
}

}  // namespace plenair
