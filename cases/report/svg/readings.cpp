#include "cases/report/svg/svg.hpp"

#include "cases/report/markup/markup.hpp"
#include "cases/report/markup/result_words.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <limits>

/// Readings with their error bars beside what was predicted, before and after the fit.
namespace plenair::html {

namespace {

using geometry::to_unit;

constexpr double panel_height = 230, panel_top = 40, panel_bottom = 48, panel_left = 58,
                 panel_right = 14, panel_pitch = 54;

/// One reading as it is drawn.
struct Dot {
    std::string name;  ///< below the axis
    double value = 0, half = 0;  ///< measured
    double before = 0, after = 0;  ///< predicted
};

struct Group {
    std::string title, unit;
    std::vector<Dot> dots;
    bool fitted = true;  ///< else what was drawn stands for both
};

std::string word(double x,
                 double y,
                 const char* anchor,
                 const std::string& text,
                 const char* style = "name",
                 int size = 12) {
    return fmt::format(
        "<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" fill=\"#20262c\" font-size=\"{}\" "
        "text-anchor=\"{}\" font-family=\"sans-serif\">{}</text>\n",
        style,
        x,
        y,
        size,
        anchor,
        text);
}

/// Between the lines of a panel: 1, 2 or 5 of some power of ten, three to six to a range.
double line_step(double range) {
    const double rough = range / 5;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    const double part = rough / power;
    return power * (part <= 1 ? 1 : part <= 2 ? 2 : part <= 5 ? 5 : 10);
}

/// Decimals that a multiple of a step needs.
int decimals_of(double step) {
    return std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 6);
}

/// Decimals with which numbers of a range can be told apart.
int decimals_for(double range) {
    return std::clamp(static_cast<int>(std::ceil(1 - std::log10(std::max(range, 1e-9)))), 0, 4);
}

struct Scale {
    double low = 0, high = 1;
    [[nodiscard]] double operator()(double value) const {
        return panel_height - panel_bottom -
               (value - low) / (high - low) * (panel_height - panel_bottom - panel_top);
    }
};

Scale scale_of(const Group& group) {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (const auto& dot : group.dots) {
        low = std::min({low, dot.value - dot.half, dot.before, dot.after});
        high = std::max({high, dot.value + dot.half, dot.before, dot.after});
    }
    const double more = std::max(0.08 * (high - low), 1e-6 * std::abs(high) + 1e-12);
    return {low - more, high + more};
}

std::string dot_text(const Group& group, const Dot& dot, double x, const Scale& y) {
    const int decimals = decimals_for(y.high - y.low);
    const auto shown = [&](double value) { return fixed(value, decimals); };
    std::string text = fmt::format(
        "<g class=\"reading\"><title>{}: measured {} &#177;{} {}, {}</title>\n",
        escaped(dot.name),
        shown(dot.value),
        shown(dot.half),
        escaped(group.unit),
        group.fitted
            ? fmt::format("predicted {} before, {} after", shown(dot.before), shown(dot.after))
            : fmt::format("drawn {}", shown(dot.before)));
    const double up = y(dot.value + dot.half), down = y(dot.value - dot.half);
    text += fmt::format(
        "<path class=\"error\" "
        "d=\"M{0:.1f},{1:.1f}V{2:.1f}M{3:.1f},{1:.1f}h10M{3:.1f},{2:.1f}h10\" "
        "fill=\"none\" stroke=\"#20262c\" stroke-width=\"1.5\"/>\n",
        x,
        up,
        down,
        x - 5);
    text += fmt::format(
        "<circle class=\"read\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4\" fill=\"#20262c\"/>\n",
        x,
        y(dot.value));
    text += fmt::format(
        "<rect class=\"before\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"8\" height=\"8\" fill=\"none\" "
        "stroke=\"#17508f\" stroke-width=\"1.8\"/>\n",
        x - 16,
        y(dot.before) - 4);
    if (group.fitted) {
        text += fmt::format(
            "<path class=\"after\" d=\"M{:.1f},{:.1f}l5,5l-5,5l-5,-5Z\" fill=\"#b8500a\"/>\n",
            x + 13,
            y(dot.after) - 5);
    }
    return text + "</g>\n";
}

std::string group_text(const Group& group) {
    constexpr double letter = 6.2;  // of a name below the axis
    double pitch = panel_pitch;
    for (const auto& dot : group.dots) {
        pitch = std::max(pitch, letter * static_cast<double>(dot.name.size() + 1));
    }
    const double width =
        std::max(230.0, panel_left + panel_right + pitch * static_cast<double>(group.dots.size()));
    const Scale y = scale_of(group);
    std::string label = escaped(group.title) + ", measured and predicted";
    std::string text = fmt::format(
        "<svg class=\"panel\" role=\"img\" viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" "
        "height=\"{1:.0f}\" aria-label=\"{2}\">\n",
        width,
        panel_height,
        label);
    text += word(8, 18, "start", escaped(group.title), "title", 14);
    text += word(8, 33, "start", escaped(group.unit.empty() ? "ratio" : group.unit));
    const double line = line_step(y.high - y.low);
    const int decimals = decimals_of(line);
    const auto last = static_cast<int>(std::floor(y.high / line + 1e-9));
    for (auto k = static_cast<int>(std::ceil(y.low / line - 1e-9)); k <= last; ++k) {
        const double value = k * line;
        text += fmt::format(
            "<line class=\"level\" x1=\"{:.0f}\" x2=\"{:.0f}\" y1=\"{:.1f}\" y2=\"{:.1f}\" "
            "stroke=\"#c9cfd5\"/>",
            panel_left,
            width - panel_right,
            y(value),
            y(value));
        text += word(panel_left - 6, y(value) + 4, "end", fixed(value, decimals), "name", 11);
    }
    const double step = (width - panel_left - panel_right) / static_cast<double>(group.dots.size());
    double x = panel_left + 0.5 * step;
    for (const auto& dot : group.dots) {
        text += dot_text(group, dot, x, y);
        text += word(x, panel_height - 26, "middle", escaped(dot.name), "name", 11);
        x += step;
    }
    return text + "</svg>\n";
}

/// "A4 lambda 3" as the group "A4 lambda" and its member "3"; a name without a number stands alone.
std::pair<std::string, std::string> parted(const std::string& name) {
    if (name.starts_with("bench ")) {
        // Set-ups pass flows so different that one scale would hide what is read; runners are
        // alike.
        const auto colon = name.find(": ");
        const std::string bank = colon == std::string::npos ? "" : ", " + name.substr(6, colon - 6);
        const std::string set_up =
            colon == std::string::npos ? name.substr(6) : name.substr(colon + 2);
        return {"bench" + bank + (set_up.starts_with("runner ") ? ", runners" : ", " + set_up),
                set_up};
    }
    for (const std::string of : {" air flow", " plenum pressure"}) {
        if (name.ends_with(of)) {
            return {of.substr(1), name.substr(0, name.size() - of.size())};
        }
    }
    const auto space = name.rfind(' ');
    const bool number = space != std::string::npos && space + 1 < name.size() &&
                        std::all_of(name.begin() + static_cast<std::ptrdiff_t>(space) + 1,
                                    name.end(),
                                    [](unsigned char c) { return std::isdigit(c) != 0; });
    return number ? std::pair{name.substr(0, space), "cyl. " + name.substr(space + 1)}
                  : std::pair{name, name};
}

std::vector<Group> fitted_groups(const FitResult& fit) {
    std::vector<Group> groups;
    for (const auto& reading : fit.all_readings) {
        const auto [title, member] = parted(reading.name);
        auto found =
            std::find_if(groups.begin(), groups.end(), [&, &wanted = title](const Group& group) {
                return group.title == wanted && group.unit == reading.unit;
            });
        if (found == groups.end()) {
            groups.push_back({title, reading.unit, {}});
            found = groups.end() - 1;
        }
        const auto in = [&](double value) {
            return reading.unit.empty() ? value : to_unit(value, reading.unit);
        };
        // A half width of a temperature is a difference: no offset of the unit.
        const double half = reading.unit == "degC"
                                ? reading.half
                                : in(reading.half) - (reading.unit == "degF" ? in(0) : 0);
        found->dots.push_back(
            {member, in(reading.value), half, in(reading.before), in(reading.after)});
    }
    return groups;
}

/// Width drawn at x, for the readings of a gauge along the slot.
std::optional<double> drawn_width(const Case& design, const GaugeReading& gauge, double x) {
    for (std::size_t b = 0; b < design.intake.banks.size(); ++b) {
        const auto& bank = design.intake.banks[b];
        if (!bank.slot || !gauge.of_bank(b)) continue;
        for (const auto& piece : bank.slot->pieces) {
            if (x > piece.x - 1e-9 && x < piece.x + piece.length + 1e-9) return piece.width.at(x);
        }
    }
    return std::nullopt;
}

/// What gauges read along the slot, beside the drawing.
std::vector<Group> gauge_groups(const Measured& measured, const Case& design) {
    std::vector<Group> groups;
    const std::string unit(design.units.in_place_of("mm"));
    for (const auto& gauge : measured.gauges) {
        if (gauge.entry != "slot.width" || gauge.x.size() < 2 ||
            gauge.x.size() != gauge.value.size()) {
            continue;
        }
        const std::string bank =
            gauge.bank ? geometry::bank_prefix(geometry::bank_name(design.intake, *gauge.bank))
                       : "";
        Group group{bank + "Slot width along x", unit, {}, false};
        for (std::size_t i = 0; i < gauge.x.size(); ++i) {
            const auto drawn = drawn_width(design, gauge, gauge.x[i]);
            if (!drawn) continue;
            group.dots.push_back(
                {"x " + fixed(to_unit(gauge.x[i], unit), design.units.inches() ? 1 : 0),
                 to_unit(gauge.value[i], unit),
                 to_unit(gauge.uncertainty, unit),
                 to_unit(*drawn, unit),
                 to_unit(*drawn, unit)});
        }
        if (!group.dots.empty()) groups.push_back(std::move(group));
    }
    return groups;
}

}  // namespace

std::string reading_charts(const Learned& learned, const Case& design) {
    auto groups = gauge_groups(learned.measured, design);
    auto fitted = fitted_groups(learned.fit);
    groups.insert(groups.end(), fitted.begin(), fitted.end());
    if (groups.empty()) return "";
    std::string text = "<figure class=\"panels readings\">\n<div class=\"flow\">\n";
    for (const auto& group : groups) text += group_text(group);
    return text +
           "</div>\n<figcaption>Dot with bar: measured, with its 95 % uncertainty. Open square: "
           "predicted or drawn before the readings. Diamond: predicted after the fit. A diamond "
           "outside its bar does not fit.</figcaption></figure>\n";
}

std::string band_chart(const FitResult& fit) {
    if (fit.air.empty()) return "";
    constexpr double wide = 640, from = 110, to = 560, row = 40;
    double most = 0.005;
    for (const auto& at : fit.air) {
        most = std::max({most,
                         at.spread_before + at.spread_before_half,
                         at.spread_after + at.spread_after_half});
    }
    const auto x = [&](double spread) {
        return from + std::clamp(spread / most, 0.0, 1.0) * (to - from);
    };
    const double tall = 34 + row * static_cast<double>(fit.air.size());
    std::string text = fmt::format(
        "<figure class=\"bands\"><div class=\"scroll\" tabindex=\"0\" role=\"region\" "
        "aria-label=\"Bands of the spread as bars\">\n<svg role=\"img\" viewBox=\"0 0 {0:.0f} "
        "{1:.0f}\" width=\"{0:.0f}\" height=\"{1:.0f}\" aria-label=\"Band of the spread before and "
        "after the readings\">\n",
        wide,
        tall);
    double y = 8;
    for (const auto& at : fit.air) {
        text += word(from - 8, y + 20, "end", escaped(at.point));
        const auto bar = [&](double spread,
                             double half,
                             double down,
                             const char* style,
                             const char* fill,
                             const char* when) {
            const std::string words =
                fmt::format("{} &#177;{} %", fixed(percent(spread), 1), fixed(percent(half), 1));
            text += fmt::format(
                "<g><title>{}, {}: spread {}</title><rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" "
                "width=\"{:.1f}\" height=\"9\" fill=\"{}\"/><path d=\"M{:.1f},{:.1f}v13\" "
                "stroke=\"#20262c\" class=\"middle\" stroke-width=\"2\"/></g>\n",
                escaped(at.point),
                when,
                words,
                style,
                x(spread - half),
                y + down,
                std::max(x(spread + half) - x(spread - half), 1.0),
                fill,
                x(spread),
                y + down - 2);
            text += word(x(spread + half) + 6, y + down + 9, "start", words, "name", 11);
        };
        bar(at.spread_before, at.spread_before_half, 4, "band-before", "#a9c9ec", "before");
        bar(at.spread_after, at.spread_after_half, 19, "band-after", "#17508f", "after");
        y += row;
    }
    return text +
           "</svg></div>\n<figcaption>Spread at each point with its 95 % band: above before the "
           "readings, below after them.</figcaption></figure>\n";
}

}  // namespace plenair::html
