#include "cases/report/terminal/trim_tables.hpp"

#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/report/words/trim_words.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

using geometry::to_unit;

std::vector<const TrimPoint*> by_speed_and_load(const TrimResult& result) {
    std::vector<const TrimPoint*> points;
    for (const auto& point : result.points) {
        if (point.issued) points.push_back(&point);
    }
    std::stable_sort(points.begin(), points.end(), [](const auto* a, const auto* b) {
        return a->speed != b->speed ? a->speed < b->speed : a->plenum_pressure < b->plenum_pressure;
    });
    return points;
}

std::size_t longest_name(const std::vector<const TrimPoint*>& points) {
    std::size_t longest = 0;
    for (const auto* point : points) longest = std::max(longest, point->name.size());
    return longest;
}

std::string rpm_text(double speed) {
    return fmt::format("{:.0f}", to_unit(speed, "rpm"));
}

std::string kpa_text(double pressure) {
    return fmt::format("{:.1f}", to_unit(pressure, "kPa"));
}

/// Lines without blanks at their ends.
std::string trimmed_lines(const std::string& text) {
    std::string kept;
    for (const char sign : text) {
        if (sign == '\n') kept.erase(kept.find_last_not_of(' ') + 1);
        kept += sign;
    }
    return kept;
}

/// "75.0/82.9", with a mark where it is over the limit; "rests" where nothing is injected.
std::string duty_text(const StageDuty& duty) {
    if (duty.commanded == 0) return "rests ";
    return fmt::format("{}/{}{}",
                       fixed(percent(duty.flow), 1),
                       fixed(percent(duty.commanded), 1),
                       duty.over ? "!" : " ");
}

}  // namespace

std::string signed_trim(double ratio) {
    std::string text = fmt::format("{:+.3f}", percent(ratio));
    while (text.back() == '0') text.pop_back();
    if (text.back() == '.') text += '0';
    return text == "+0.0" || text == "-0.0" ? "0.0" : text;
}

std::string signed_hundredths(double ratio) {
    const std::string text = fixed(percent(ratio), 2);
    return text == "0.00" || text.front() == '-' ? text : "+" + text;
}

std::string duty_table(const TrimResult& result, const TrimPoint& point) {
    const auto& in = *result.injection;
    std::string text = fmt::format("  duty         flow/commanded, %; limit {}",
                                   fixed(percent(in.primary.duty_limit), 0));
    if (in.secondary) {
        text += fmt::format(" primary, {} secondary; second pulse {} % of the first",
                            fixed(percent(in.secondary->duty_limit), 0),
                            fixed(percent(point.second_stage_ratio), 0));
    }
    text += fmt::format("\n  {:>8}  {:>13}  {:>11} ", "cylinder", "primary", "trimmed");
    if (in.secondary) text += fmt::format("  {:>13}  {:>11} ", "secondary", "trimmed");
    text += "\n";
    for (const auto& t : point.cylinders) {
        text += fmt::format("  {:>8}  {:>14} {:>12}",
                            t.cylinder,
                            duty_text(t.duty_untrimmed->primary),
                            duty_text(t.duty_trimmed->primary));
        if (in.secondary) {
            text += fmt::format("  {:>14} {:>12}",
                                duty_text(t.duty_untrimmed->secondary),
                                duty_text(t.duty_trimmed->secondary));
        }
        text += "\n";
    }
    return trimmed_lines(text);
}

std::string nitrous_table(const TrimPoint& point) {
    constexpr auto row = "  {:>8}  {:>7}  {:>6}  {:>10}  {:>12}  {:>11}  {:>9}\n";
    std::string text = wrapped("  nitrous      ", nitrous_limits());
    text += fmt::format(
        row, "cylinder", "nitrous", "oxygen", "extra fuel", "lambda if its", "nitrous", "extra");
    text += fmt::format(row, "", "g/s", "g/s", "g/s", "fuel is lost", "10 % low", "fuel low");
    for (const auto& n : point.nitrous) {
        text += fmt::format(row,
                            n.cylinder,
                            fixed(to_unit(n.flow, "g/s"), 2),
                            fixed(to_unit(n.oxygen, "g/s"), 2),
                            fixed(to_unit(n.extra_fuel, "g/s"), 2),
                            fixed(n.lambda_without_fuel, 3),
                            fixed(n.lambda_nitrous_low, 3),
                            fixed(n.lambda_fuel_low, 3));
    }
    return text;
}

std::string trims_over_points(const TrimResult& result, const Paint& paint) {
    const auto points = by_speed_and_load(result);
    if (points.empty()) return "";
    std::string text =
        "\n" + paint.heading("Trims over speed and load, % by cylinder number") + "\n";
    const std::size_t width = std::max<std::size_t>(8, longest_name(points));
    text += fmt::format("  {:>6}  {:>12}  {:<{}}", "rpm", "kPa abs in", "point", width);
    for (const auto& t : points.front()->cylinders) text += fmt::format("  {:>6}", t.cylinder);
    text += fmt::format("\n  {:>6}  {:>12}  {:<{}}", "", "the plenum", "firing", width);
    for (const auto& t : points.front()->cylinders) {
        text += fmt::format("  {:>6}", fmt::format("({})", t.firing_position));
    }
    text += "\n";
    for (const auto* point : points) {
        text += fmt::format("  {:>6}  {:>12}  {:<{}}",
                            rpm_text(point->speed),
                            kpa_text(point->plenum_pressure),
                            point->name,
                            width);
        for (const auto& t : point->cylinders) text += fmt::format("  {:>6}", signed_trim(t.trim));
        text += "\n";
    }
    return text;
}

std::string map_tables(const TrimResult& result, const Paint& paint) {
    if (result.map.empty()) return "";
    std::string text = "\n" +
                       paint.heading(
                           "Trim map, %: straight between the points, - beyond "
                           "them") +
                       "\n";
    const std::size_t loads = std::max<std::size_t>(1, result.map_pressures.size());
    for (const auto& map : result.map) {
        text += fmt::format(
            "  cylinder {} (fires {}.)\n  {:>8}", map.cylinder, map.firing_position, "rpm");
        for (const double pressure : result.map_pressures) {
            text += fmt::format("  {:>9}", kpa_text(pressure) + " kPa");
        }
        text += "\n";
        for (std::size_t i = 0; i < map.trim.size(); ++i) {
            if (i % loads == 0) {
                text += fmt::format("  {:>8}", rpm_text(result.map_speeds.at(i / loads)));
            }
            text += fmt::format("  {:>9}", map.trim[i] ? signed_trim(*map.trim[i]) : "-");
            if (i % loads + 1 == loads) text += "\n";
        }
    }
    return text;
}

namespace {

// More columns than this no terminal shows.
constexpr std::size_t most_trim_columns = 12;

/// Of many points (curves over speed) a line for each set of trims: what is left at worst.
std::string fixed_lines(const TrimResult& result, std::size_t points) {
    std::string text = fmt::format("  {:<16}  {:>10}  {:<16}  {}\n",
                                   "trims of",
                                   "left, %",
                                   "at worst at",
                                   "worse than none at");
    for (std::size_t i = 0; i + points <= result.fixed.size(); i += points) {
        const FixedTrim* worst = &result.fixed[i];
        std::size_t worse = 0;
        for (std::size_t k = i; k < i + points; ++k) {
            worse += result.fixed[k].worse ? 1 : 0;
            if (result.fixed[k].spread_fixed > worst->spread_fixed) worst = &result.fixed[k];
        }
        text += fmt::format("  {:<16}  {:>10}  {:<16}  {} of {} points\n",
                            worst->from,
                            fixed(percent(worst->spread_fixed), 1),
                            worst->at,
                            worse,
                            points);
    }
    return text;
}

}  // namespace

std::string fixed_table(const TrimResult& result, const Paint& paint) {
    std::vector<const TrimPoint*> points;
    for (const auto& point : result.points) {
        if (point.issued) points.push_back(&point);
    }
    if (points.size() < 2) return "";
    std::string text =
        "\n" + paint.heading("One fixed set of trims: spread of air over fuel left, %") + "\n";
    if (points.size() > most_trim_columns) return text + fixed_lines(result, points.size());
    const std::size_t width = longest_name(points) + 3;
    const auto cell = [width](const std::string& value, const char* mark) {
        return fmt::format("  {:>{}}{}", value, std::max<std::size_t>(width, 7), mark);
    };
    const auto label = [width](const std::string& value) {
        return fmt::format("  {:<{}}", value, std::max<std::size_t>(width, 8));
    };
    text += label("trims of");
    for (const auto* at : points) text += cell("at " + at->name, " ");
    text += "\n" + label("none");
    for (const auto* at : points) text += cell(fixed(percent(at->spread), 1), " ");
    text += "\n";
    for (std::size_t i = 0; i < result.fixed.size(); ++i) {
        const auto& f = result.fixed[i];
        if (i % points.size() == 0) text += label(f.from);
        text += cell(fixed(percent(f.spread_fixed), 1), f.worse ? "!" : " ");
        if (i % points.size() + 1 == points.size()) text += "\n";
    }
    return trimmed_lines(text) + "  ! worse than no trim at all\n";
}

}  // namespace plenair
