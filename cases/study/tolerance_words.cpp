#include "cases/study/tolerance_words.hpp"
#include "cases/study/percent.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

/// "62", and never "-0": an estimate of nothing may fall below it.
std::string whole_percent(double share) {
    return fmt::format("{:.0f}", std::round(in_percent(share)) + 0.0);
}

std::string odds_text(const Odds& odds) {
    return fmt::format("{:.2f} % ({:.2f} to {:.2f} %, 95 %, Clopper and Pearson; {} of {})",
                       in_percent(odds.share),
                       in_percent(odds.low),
                       in_percent(odds.high),
                       odds.good,
                       odds.parts);
}

}  // namespace

void add_sentences(ToleranceResult& result) {
    auto& say = result.sentences;
    const char* parts = result.one_part ? "the parts that this one may be" : "made parts";
    say.push_back(fmt::format(
        "{} of {} keep the worst spread within {:.1f} %; as {} it is {:.2f} %, and 95 % of {} are "
        "at most at {:.2f} %.",
        odds_text(result.metal),
        parts,
        in_percent(result.target),
        result.one_part ? "found" : "drawn",
        in_percent(result.drawn_spread),
        parts,
        in_percent(result.spread_95)));
    say.push_back(
        fmt::format("With the model's coefficients anywhere within their bands as well: {}.",
                    odds_text(result.with_model)));
    say.push_back(
        fmt::format("Of the variance of the worst spread the metal's tolerances make {} % (total "
                    "{} %), the model's coefficients {} % (total {} %): {}.",
                    whole_percent(result.metal_first),
                    whole_percent(result.metal_total),
                    whole_percent(result.model_first),
                    whole_percent(result.model_total),
                    result.model_total > result.metal_total
                        ? "measuring the part on a bench would tell more than closer tolerances"
                        : "closer tolerances tell more than a better known model"));
    const auto worst = std::max_element(
        result.effects.begin(), result.effects.end(), [](const auto& a, const auto& b) {
            const auto cost = [](const InputEffect& e) {
                return e.metal ? std::max(e.spread_low, e.spread_high) : -1.0;
            };
            return cost(a) < cost(b);
        });
    say.push_back(
        fmt::format("The dearest tolerance is {} +/-{}: {:+.3f} % of worst spread at its "
                    "worse limit.",
                    worst->key,
                    geometry::format_limit(worst->limit, result.units, 4),
                    in_percent(std::max(worst->spread_low, worst->spread_high))));
    say.push_back(
        fmt::format("All dimensions at the worst of their limits: worst spread {:.2f} % at "
                    "{}.",
                    in_percent(result.corner_spread),
                    result.corner_at));
    if (!result.one_part && result.target < result.drawn_spread) {
        say.push_back(
            fmt::format("The part misses {:.1f} % as drawn: no tolerance mends that; see "
                        "plenair choose.",
                        in_percent(result.target)));
    }
    say.push_back(fmt::format(
        "{} A surface through {} solved variants was used{}; against {} parts solved at random its "
        "worst spread is off by {:.3f} % (root mean square), {:.3f} % at most.",
        result.direct ? "Every part was solved." : "Parts were read from a response surface.",
        1 + 2 * result.effects.size(),
        result.direct ? " for indices and proposals" : "",
        result.checked,
        in_percent(result.surface_error),
        in_percent(result.surface_worst)));
    if (!result.left_out.empty()) {
        say.push_back(result.left_out);
    }
}

}  // namespace plenair::study
