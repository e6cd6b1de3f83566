#include "cases/study/choose_words.hpp"
#include "cases/study/percent.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

/// The largest band of the points that a limit speaks of. [-]
double band_at(const Design& design, const ChooseLimit& limit) {
    double band = 0;
    for (const std::size_t p : limit.points) {
        band = std::max(band, p < design.points.size() ? design.points[p].bias_band : 0);
    }
    return band;
}

std::string outcome(const ChoosePlan& plan, const ChooseResult& result) {
    std::vector<std::string> missed;
    for (const auto& limit : result.limits) {
        if (!limit.met) {
            missed.push_back(fmt::format("{} is not met: {}{}",
                                         limit.text,
                                         limit.shown,
                                         limit.at.empty() ? "" : " at " + limit.at));
        }
    }
    if (!missed.empty()) {
        return fmt::format(
            "No design within these bounds meets every limit; this is the one that comes nearest. "
            "{}.",
            fmt::join(missed, "; "));
    }
    const auto& d = result.chosen;
    if (!plan.base.has_engine) {
        return fmt::format("{}unevenness {:.3f} %, was {:.3f} %.",
                           result.limits.empty() ? "" : "Every limit holds: ",
                           in_percent(d.worst_spread),
                           in_percent(result.present.worst_spread));
    }
    std::vector<std::string> parts;
    if (plan.base.engine.cylinder_count() > 1) {
        parts.push_back(fmt::format("worst spread {:.2f} % (was {:.2f} %)",
                                    in_percent(d.worst_spread),
                                    in_percent(result.present.worst_spread)));
    }
    if (d.slot_loss != 0 || result.present.slot_loss != 0) {
        parts.push_back(fmt::format(
            "mean slot loss {:.2f} % of the pressure before the throttle (was {:.2f} %)",
            in_percent(d.slot_loss),
            in_percent(result.present.slot_loss)));
    }
    parts.push_back(fmt::format("air {:+.2f} % against the present design",
                                in_percent(d.air / result.present.air - 1)));
    return fmt::format(
        "{}{}.", result.limits.empty() ? "" : "Every limit holds: ", fmt::join(parts, ", "));
}

void add_bands(const ChoosePlan& plan, ChooseResult& result) {
    for (const auto& limit : plan.limits) {
        const bool of_bias = limit.of == Measure::spread || limit.of == Measure::end_bias;
        const double band = band_at(result.chosen, limit);
        if (of_bias && limit.most && band > 0 && *limit.most < band) {
            result.sentences.push_back(
                fmt::format("{}: {:.2g} % is less than the model can tell: {:.1f} % (band of the "
                            "chosen design from the model's coefficients).",
                            limit.text,
                            in_percent(*limit.most),
                            in_percent(band)));
        }
    }
}

void add_bounds(ChooseResult& result) {
    for (std::size_t k = 0; k < result.numbers.size(); ++k) {
        const auto& number = result.numbers[k];
        const double value = result.chosen.numbers[k];
        const double near = 0.5 * number.step;
        if (value < number.low + near || value > number.high - near) {
            const bool low = value < number.low + near;
            result.sentences.push_back(
                fmt::format("{} stands at its {} bound, {}: beyond it there may be better.",
                            number.key,
                            low ? "lower" : "upper",
                            with_unit(low ? number.low : number.high, number)));
        }
    }
}

void add_others(ChooseResult& result) {
    for (const auto& other : result.others) {
        std::vector<std::string> parts;
        for (std::size_t k = 0; k < result.numbers.size(); ++k) {
            parts.push_back(fmt::format(
                "{} {}", result.numbers[k].key, with_unit(other.numbers[k], result.numbers[k])));
        }
        result.sentences.push_back(fmt::format(
            "There are several answers: {} does as well to what can be told (worst spread {:.2f} "
            "%).",
            fmt::join(parts, ", "),
            in_percent(other.worst_spread)));
    }
    for (std::size_t k = 0; k < result.steps.size(); ++k) {
        const auto& step = result.steps[k];
        const auto& number = result.numbers[k];
        if (step.flat_high - step.flat_low > 4 * number.step) {
            result.sentences.push_back(
                fmt::format("{} may be anything from {} to {}, the others as chosen: less than "
                            "0.05 % is at stake.",
                            number.key,
                            geometry::format_number(step.flat_low, 5),
                            with_unit(step.flat_high, number)));
        }
    }
}

/// What made parts do, where it was asked for.
void add_parts(ChooseResult& result) {
    if (!result.made) {
        return;
    }
    const auto& made = *result.made;
    result.sentences.push_back(fmt::format(
        "{:g} % of made parts have a worst spread of at most {:.2f} % (as drawn {:.2f} %); {:.1f} "
        "% of {} parts meet every limit (95 % interval {:.1f} to {:.1f} %, tolerances as "
        "plenair tolerance has them).",
        in_percent(made.wanted),
        in_percent(made.spread),
        in_percent(result.chosen.worst_spread),
        in_percent(made.odds.share),
        made.odds.parts,
        in_percent(made.odds.low),
        in_percent(made.odds.high)));
}

}  // namespace

std::string with_unit(double value, const FreeNumber& number) {
    return geometry::format_number(value, 8) + number.unit;
}

std::string name_of(Aim aim) {
    switch (aim) {
        case Aim::slot_loss:
            return "mean slot loss";
        case Aim::total_loss:
            return "mean total loss";
        case Aim::air:
            return "mean air";
        case Aim::evenness:
            return "unevenness";
        default:
            return "worst spread";
    }
}

std::string shown(const ChooseLimit& limit, double value) {
    switch (limit.of) {
        case Measure::slot_loss:
        case Measure::total_loss:
            if (limit.of_source) {
                return fmt::format("{:.2f} %", in_percent(value));
            }
            return limit.unit == "kPa"
                       ? fmt::format("{:.2f} kPa", geometry::to_unit(value, "kPa"))
                       : fmt::format("{:.4g} {}", geometry::to_unit(value, limit.unit), limit.unit);
        case Measure::air:
        case Measure::flow:
            return fmt::format("{:.5g} g/s", geometry::to_unit(value, "g/s"));
        default:
            return fmt::format("{:.2f} %", in_percent(value));
    }
}

void add_sentences(const ChoosePlan& plan, ChooseResult& result) {
    result.sentences.push_back(outcome(plan, result));
    for (const auto& limit : result.limits) {
        if (!limit.best_alone.empty()) {
            result.sentences.push_back(fmt::format(
                "{} cannot be met within these bounds, whatever becomes of the other limits: the "
                "best of {} designs has {}.",
                limit.text,
                result.variants,
                limit.best_alone));
        }
    }
    add_parts(result);
    if (!result.cause.empty()) {
        result.sentences.push_back("What is left: " + result.cause);
    }
    for (const auto& limit : result.limits) {
        if (limit.binds && !limit.price.empty()) {
            result.sentences.push_back(fmt::format("{} binds: {}.", limit.text, limit.price));
        }
    }
    add_bands(plan, result);
    add_bounds(result);
    add_others(result);
    if (result.failed > 0) {
        result.sentences.push_back(fmt::format(
            "{} of {} designs that were tried have no result.", result.failed, result.variants));
    }
}

}  // namespace plenair::study
