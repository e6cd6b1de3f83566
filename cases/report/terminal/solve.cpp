#include "cases/report/terminal.hpp"
#include "cases/report/terminal/curve.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/report/words/text_lines.hpp"
#include "cases/report/words/trim_words.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace plenair {

namespace {

constexpr std::size_t label_width = 15, widest_line = 84;

/// A number with its units: "350.0 g/s (46.3 lb/min)", a loss also as part of the source pressure.
std::string with_units(const Quantity<PointResult>& quantity, const PointResult& point) {
    const double value = point.*quantity.member;
    std::string text = shown_number(quantity, value);
    if (std::string(quantity.unit) != "1") text += fmt::format(" {}", quantity.unit);
    if (*quantity.also != '\0') {
        text += fmt::format(
            " ({} {})", fixed(for_people(value, quantity.also), quantity.digits), quantity.also);
    }
    if (quantity.line == Line::losses) {
        text += fmt::format(" ({} %)", fixed(percent(value / point.source_pressure), 1));
    }
    return text;
}

/// Whether a difference is more than the model coefficients leave open.
std::string against_band(double difference, double band) {
    if (band <= 0) return "";
    return std::abs(difference) <= band ? " (inside the band)" : " (outside the band)";
}

std::string band_text(const Quantity<PointResult>& quantity, const PointResult& point) {
    const double value = point.*quantity.member;
    const bool small = std::string(quantity.unit) == "%" && percent(value) < 0.1;
    const std::string text = small ? "less than 0.1 %" : "+/-" + with_units(quantity, point);
    return fmt::format(fmt::runtime(quantity.phrase), text);
}

bool of_slot(const Quantity<PointResult>& quantity) {
    return quantity.line == Line::slot || quantity.member == &PointResult::slot_loss;
}

/// What one line says of a point, number by number.
std::vector<std::string> phrases(const PointResult& point, Line line) {
    std::vector<std::string> found;
    for (const auto& quantity : point_quantities()) {
        if (quantity.line != line || (of_slot(quantity) && !has_slot(point))) continue;
        if (quantity.shown == Shown::with_band) {
            if (point.*quantity.member > 0) found.push_back(band_text(quantity, point));
            continue;
        }
        found.push_back(fmt::format(fmt::runtime(quantity.phrase), with_units(quantity, point)));
        if (quantity.change == ChangeKind::of_mean_air) {
            found.back() += against_band(point.*quantity.member, point.bias_band);
        }
    }
    return found;
}

/// A label and phrases behind it, in several lines where they are long.
std::string labelled(const std::string& label, const std::vector<std::string>& phrases) {
    std::string text, line = fmt::format("  {:<{}}", label, label_width - 2);
    for (const auto& phrase : phrases) {
        const bool first = line.size() == label_width;
        if (!first && line.size() + phrase.size() + 1 > widest_line) {
            text += line + ",\n";
            line = std::string(label_width, ' ');
        } else if (!first) {
            line += ", ";
        }
        line += phrase;
    }
    return text + line;
}

std::string line_text(const PointResult& point, const char* label, Line line) {
    return labelled(label, phrases(point, line));
}

std::string point_head(const PointResult& point) {
    return fmt::format("{}: {}", point.name, fmt::join(phrases(point, Line::condition), ", "));
}

std::string cylinder_table(const PointResult& point) {
    constexpr auto number = "  {:>8}  {:>8}";
    const bool banks = point.banks.size() > 1;
    const auto trims = usual_trims(point);
    std::vector<std::string> rows{fmt::format(number, "cylinder", "firing"),
                                  fmt::format(number, "", "position")};
    for (const auto& c : point.cylinders) {
        rows.push_back(fmt::format(number, c.cylinder, c.firing_position));
    }
    if (banks) {
        std::size_t width = 4;
        for (const auto& bank : point.banks) width = std::max(width, bank.name.size());
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const auto bank = [&](const CylinderResult& c) {
                return point.banks.at(static_cast<std::size_t>(c.bank)).name;
            };
            rows[i] += fmt::format("  {:<{}}",
                                   i == 0   ? "bank"
                                   : i == 1 ? ""
                                            : bank(point.cylinders[i - 2]),
                                   width);
        }
    }
    const auto add = [&rows](const std::string& head, const std::string& unit, const auto& text) {
        const std::size_t width = std::max({head.size(), unit.size(), std::size_t{5}});
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows[i] += fmt::format("  {:>{}}", i == 0 ? head : i == 1 ? unit : text(i - 2), width);
        }
    };
    for (const auto& quantity : cylinder_quantities()) {
        if (quantity.of_banks && !banks) continue;
        add(quantity.phrase, std::string(quantity.unit) + quantity.per, [&](std::size_t i) {
            return shown_number(quantity, point.cylinders[i].*quantity.member);
        });
        if (quantity.member == &CylinderResult::bias) {
            add("trim", "%", [&](std::size_t i) {
                return trims ? signed_percent(trims->rounded.at(i)) : std::string("-");
            });
        }
    }
    return fmt::format("{}\n", fmt::join(rows, "\n"));
}

/// What each bank gets, and how it shares that out; nothing where there is one.
std::string bank_table(const PointResult& point) {
    if (point.banks.size() < 2) return "";
    std::vector<std::string> rows{"bank", ""};
    for (const auto& bank : point.banks) rows.push_back(bank.name);
    std::size_t width = 0;
    for (const auto& row : rows) width = std::max(width, row.size());
    for (auto& row : rows) row = fmt::format("  {:<{}}", row, std::max(width, label_width - 4));
    for (const auto& quantity : bank_quantities()) {
        if (quantity.line == Line::losses) continue;
        const std::string head = quantity.phrase, unit = quantity.unit;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const std::string text =
                i == 0   ? head
                : i == 1 ? unit
                         : shown_number(quantity, point.banks[i - 2].*quantity.member);
            rows[i] += fmt::format("  {:>{}}", text, head.size());
        }
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i] += i == 0   ? "  cylinders along x"
                   : i == 1 ? ""
                            : fmt::format("  {}", fmt::join(point.banks[i - 2].cylinders, ", "));
    }
    std::string text = fmt::format("{}\n", fmt::join(rows, "\n"));
    return text + "  Spread and end bias of a bank are those inside it.\n";
}

/// What the parts of each bank cost, and together; nothing where there is one bank, or where the
/// losses are known of all banks together only.
std::string bank_losses(const PointResult& point) {
    std::string text;
    for (const auto& bank : point.banks) {
        if (point.banks.size() < 2 || bank.total_loss == 0) return "";
        std::vector<std::string> found;
        for (const auto& quantity : bank_quantities()) {
            const double loss = bank.*quantity.member;
            if (quantity.line != Line::losses || loss == 0) continue;
            found.push_back(
                fmt::format("{} {} kPa", quantity.phrase, shown_number(quantity, loss)));
        }
        found.back() +=
            fmt::format(" ({} %)", fixed(percent(bank.total_loss / point.source_pressure), 1));
        found.front() = bank.name + ": " + found.front();
        text += labelled("", found) + "\n";
    }
    return text;
}

/// "+2.2 %, cylinder 5 at the far end minus cylinder 1 at x = 0"; of several banks the largest,
/// then bank by bank.
std::string end_bias_lines(const PointResult& point) {
    auto found = phrases(point, Line::end_bias);
    const bool several = point.banks.size() > 1;
    if (several) found.back() += ", the largest of the banks";
    for (const auto& bank : point.banks) {
        const std::string ends = geometry::end_bias_words({bank.cylinders, bank.first, bank.last});
        const std::string none = "none: the row has not two ends";
        if (several) {
            const std::string value = signed_percent(bank.end_bias) + " % (" + ends + ")";
            found.push_back(bank.name + ": " + (ends.empty() ? none : value));
        } else if (ends.empty()) {
            found.back() = none;
        } else {
            found.push_back(ends);
        }
    }
    return labelled("end bias", found) + "\n";
}

std::string no_slot_line(const PointResult& point) {
    if (!(point.no_slot_air_flow > 0)) return "";
    return line_text(point, "no slot", Line::no_slot) + "\n";
}

std::string flow_lines(const PointResult& point) {
    return line_text(point, "air flow", Line::air_flow) + "\n" +
           line_text(point, "losses", Line::losses) + " of source pressure\n" + bank_losses(point) +
           (has_slot(point) ? line_text(point, "slot", Line::slot) + "\n" : "") +
           line_text(point, "valves", Line::valves) + "\n";
}

std::string distribution_lines(const PointResult& point) {
    std::string text =
        line_text(point, "spread", Line::spread) + "\n" + end_bias_lines(point) +
        no_slot_line(point) +
        (point.bias_band > 0 || point.air_band > 0 ? line_text(point, "band", Line::band)
                                                   : labelled("band", {"not computed"})) +
        "\n";
    if (!point.band_parts.empty()) {
        text += wrapped("               ", "at 95 %, mostly " + band_parts_words(point));
    }
    if (point.bias_band > 0 && std::abs(point.spread) <= point.bias_band) {
        text +=
            "  The difference between the cylinders is inside the band: it cannot be told from "
            "none.\n";
    }
    return text;
}

std::string balance_lines(const PointResult& point) {
    auto periodicity = phrases(point, Line::periodicity);
    periodicity.insert(periodicity.begin(), std::to_string(point.cycles));
    return line_text(point, "balances", Line::balances) + "\n" + labelled("cycles", periodicity) +
           "\n";
}

std::string point_text(const PointResult& point, const Paint& paint) {
    std::string text = paint.heading(point_head(point)) + "\n";
    if (point.converged) {
        text += cylinder_table(point) + bank_table(point) + flow_lines(point) +
                distribution_lines(point);
    } else {
        text += paint.alarm("  did not converge: " + point.failure) + "\n";
        text += "  This is not a result: no shares are given.\n";
    }
    text += balance_lines(point);
    for (const auto& note : point.notes) text += paint.caution("  note: " + note) + "\n";
    return text;
}

}  // namespace

std::string terminal_text(const SolveResult& result, bool colour) {
    const Paint paint(colour);
    std::string text = report_head(paint, result.title, result.case_digest);
    for (std::size_t p = 0; p < result.points.size(); ++p) {
        if (result.curve_of(p) == nullptr) text += "\n" + point_text(result.points[p], paint);
    }
    text += curve_tables(result, paint);
    text += "\n" + paint.heading(verdict_words(result)) + "\n";
    if (!result.reasons.words.empty()) text += wrapped("", result.reasons.words);
    text += "Bias: more air than the mean is +, leaner on equal fuel.\n";
    text += "Trim of fuel: " + trim_sign() + "; plenair trim says what it asks for.\n";
    text += assumed_lines(result.assumed);
    return text + model_limits() + "\n" + cautions();
}

}  // namespace plenair
