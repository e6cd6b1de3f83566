#include "cases/study/find_reasons.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/case.hpp"
#include "cases/study/causes.hpp"
#include "cases/study/drawn_moves.hpp"
#include "cases/study/percent.hpp"
#include "geometry/quantity.hpp"
#include "solver/ensemble/ensemble.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace plenair::study {

namespace {

constexpr double part_moved = 0.05;

std::vector<Sensitivity> sensitivities(const Case& c, const OperatingPoint& point) {
    const auto moves = drawn_moves(c.intake, part_moved, c.units);
    // All begin where the design itself comes to and take its steps, so that what they share
    // cancels.
    std::vector<Variant> variants{
        {&c.intake, &c.model, &c.engine, &point, std::vector<double>(moves.size(), 0.0)}};
    std::vector<Start> ends;
    EnsembleOptions options;
    options.ends = &ends;
    (void)solve_ensemble(variants, options);
    ends.front().trapped.clear();  // another design traps other masses
    variants.front().start = &ends.front();
    for (std::size_t k = 0; k < moves.size(); ++k) {
        std::vector<double> place(moves.size(), 0.0);
        place[k] = 1;
        variants.push_back(
            {&moves[k].intake, &c.model, &c.engine, &point, std::move(place), &ends.front()});
    }
    const auto results = solve_ensemble(variants, {});
    std::vector<Sensitivity> found;
    const auto& before = results.front();
    for (std::size_t k = 0; before.converged && k < moves.size(); ++k) {
        const auto& after = results[k + 1];
        if (after.converged) {
            found.push_back({moves[k].key,
                             moves[k].change,
                             after.spread - before.spread,
                             after.slot_loss - before.slot_loss});
        }
    }
    std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) {
        return std::abs(a.spread) > std::abs(b.spread);
    });
    return found;
}

/// What makes a slot wide, in words.
struct WidthWords {
    std::string_view key, whose, what, less;
};
constexpr std::array slot_widths{
    WidthWords{"slot.width", "The slot's width", "Width", "narrower"},
    WidthWords{"slot.holes.diameter", "The holes' diameter", "Diameter", "smaller"},
    WidthWords{"slot.holes.width", "The holes' width", "Width", "narrower"}};

/// "5 % less of it changes the spread by +0.02 %": slot widths are judged downwards, for a narrower
/// slot is what people reach for.
std::string width_words(const Reasons& reasons, const WidthWords& words) {
    const auto width = std::find_if(reasons.sensitivities.begin(),
                                    reasons.sensitivities.end(),
                                    [&](const auto& s) { return s.key == words.key; });
    if (width == reasons.sensitivities.end()) {
        return "";
    }
    const double narrower = -width->spread;
    const double loss = -geometry::to_unit(width->slot_loss, "kPa");
    // A lever moves the spread by at least a tenth of what it is moved by itself.
    const bool lever = narrower < -std::max(least_told_spread, 0.1 * part_moved * reasons.spread);
    const std::string effect =
        std::abs(narrower) < least_told_spread
            ? fmt::format("does not change the spread, for {:+.2f} kPa of slot loss", loss)
            : fmt::format("changes the spread by {:+.2f} %, for {:+.2f} kPa of slot loss",
                          in_percent(narrower),
                          loss);
    return fmt::format("{} {}: {:.0f} % {} {}.",
                       lever ? words.whose : words.what,
                       lever ? "is a lever here" : "is not the lever here",
                       in_percent(part_moved),
                       words.less,
                       effect);
}

std::string lever_words(const Reasons& reasons) {
    std::vector<std::string> largest;
    for (const auto& each : reasons.sensitivities) {
        if (largest.size() < 3 && std::abs(each.spread) >= least_told_spread) {
            largest.push_back(fmt::format("{} {:+.2f} %", each.key, in_percent(each.spread)));
        }
    }
    return largest.empty()
               ? fmt::format(
                     "No drawn dimension moves it: {:.0f} % of each changes the spread by "
                     "less than {:.2f} %.",
                     in_percent(part_moved),
                     in_percent(least_told_spread))
               : fmt::format("What moves it most, {:.0f} % more of each: {}.",
                             in_percent(part_moved),
                             fmt::join(largest, ", "));
}

}  // namespace

Reasons find_reasons(const Case& c,
                     const OperatingPoint& point,
                     const PointResult& nominal,
                     int threads) {
    Reasons reasons;
    if (!nominal.converged || nominal.cylinders.size() < 2) {
        return reasons;
    }
    reasons.point = nominal.name;
    reasons.spread = nominal.spread;
    CausePoint causes;
    for_each_job(2, threads, [&](std::size_t job) {
        if (job == 0) {
            reasons.sensitivities = sensitivities(c, point);
        } else {
            causes = causes_of(c, point, 1);
        }
    });
    std::vector<std::string> words;
    if (causes.known) {
        for (std::size_t i = 0; i < cause_count; ++i) {
            reasons.parts.push_back({all_causes()[i].name, causes.spread_part[i]});
        }
        reasons.rest = causes.spread_rest;
        words.push_back(largest_cause_text(causes));
    }
    if (!reasons.sensitivities.empty()) {
        for (const auto& slot : slot_widths) {
            if (auto width = width_words(reasons, slot); !width.empty()) {
                words.push_back(std::move(width));
            }
        }
        words.push_back(lever_words(reasons));
    }
    reasons.words = fmt::format("{}", fmt::join(words, " "));
    return reasons;
}

}  // namespace plenair::study
