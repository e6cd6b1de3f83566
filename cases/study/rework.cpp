#include "cases/study/rework.hpp"

#include "cases/study/tolerance_surface.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace plenair::study {

namespace {

/// A station that is narrower by less is left alone [m].
constexpr double worth_opening = 5e-6;

double worst_spread(const Outputs& y, std::size_t points) {
    const OutputMap map(points, y.size() / points - 4);
    double worst = 0;
    for (std::size_t p = 0; p < points; ++p) {
        const auto first = y.begin() + static_cast<std::ptrdiff_t>(map.bias(p, 0));
        const auto last = y.begin() + static_cast<std::ptrdiff_t>(map.slot_loss(p));
        const auto [low, high] = std::minmax_element(first, last);
        worst = std::max(worst, *high - *low);
    }
    return worst;
}

}  // namespace

void move_station(Case& c, const GaugeReading& gauge, std::size_t station, double d) {
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        auto& slot = c.intake.banks[b].slot;
        if (!gauge.of_bank(b) || !slot) {
            continue;
        }
        for (auto& piece : slot->pieces) {
            auto width = piece.width.value();
            if (width.size() == gauge.x.size()) {
                width[station] += d;
                piece.width = geometry::Profile::stations(piece.width.x(), width);
            }
        }
    }
}

std::optional<Rework> find_rework(const std::vector<GaugeItem>& widths,
                                  const TolerancePlan& found,
                                  const Measured& measured,
                                  double most,
                                  const ToleranceOptions& options) {
    const std::size_t n = widths.size();
    TolerancePlan plan = found;
    plan.coefficients = false;
    plan.dimensions.clear();
    std::vector<bool> below(n);
    for (std::size_t i = 0; i < n; ++i) {
        const auto& gauge = measured.gauges[widths[i].gauge];
        below[i] = widths[i].off() < -widths[i].limit - same_size;
        plan.dimensions.push_back({"", "", 1, [&gauge, at = widths[i].index](Case& c, double d) {
                                       move_station(c, gauge, at, d);
                                   }});
    }
    std::vector<Rework> trials;
    std::vector<std::vector<double>> parts;
    const auto add = [&](std::size_t first, std::size_t last) {
        Rework trial;
        std::vector<double> part(n, 0.0);
        for (std::size_t i = 0; i < n; ++i) {
            if (below[i] || (i >= first && i < last)) {
                trial.opened.push_back(i);
                part[i] = -widths[i].off();
            }
        }
        if (!trial.opened.empty()) {
            trials.push_back(trial);
            parts.push_back(part);
        }
    };
    add(0, 0);
    for (std::size_t a = 0; a < n; ++a) {
        for (std::size_t b = a; b < n && widths[b].gauge == widths[a].gauge; ++b) {
            if (widths[b].off() >= -worth_opening) {
                break;  // metal cannot be put back, and what is wide enough is left alone
            }
            add(a, b + 1);
        }
    }
    const auto outputs = solve_parts(plan, parts, options);
    std::optional<Rework> best;
    for (std::size_t k = 0; k < trials.size(); ++k) {
        if (outputs[k].empty()) {
            continue;
        }
        auto& trial = trials[k];
        trial.spread = worst_spread(outputs[k], found.base.points.size());
        const bool better =
            !best || trial.opened.size() < best->opened.size() ||
            (trial.opened.size() == best->opened.size() && trial.spread < best->spread);
        if (trial.spread <= most && better) {
            best = trial;
        }
    }
    return best;
}

std::string stations_in_words(const std::vector<GaugeItem>& widths,
                              const std::vector<std::size_t>& opened,
                              const Measured& measured,
                              const Case& c) {
    std::vector<std::string> runs;
    for (std::size_t k = 0; k < opened.size();) {
        std::size_t end = k;
        while (end + 1 < opened.size() && opened[end + 1] == opened[end] + 1 &&
               widths[opened[end + 1]].gauge == widths[opened[k]].gauge) {
            ++end;
        }
        const auto& first = widths[opened[k]];
        const auto& bank = measured.gauges[first.gauge].bank;
        runs.push_back(
            (end == k ? fmt::format("station {}", first.index + 1)
                      : fmt::format(
                            "stations {} to {}", first.index + 1, widths[opened[end]].index + 1)) +
            (bank
                 ? fmt::format(" of {}", geometry::bank_words(geometry::bank_name(c.intake, *bank)))
                 : std::string{}));
        k = end + 1;
    }
    return fmt::format("{}", fmt::join(runs, ", "));
}

}  // namespace plenair::study
