#include "cases/study/compare_curve.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair::study {

namespace {

/// Places of the converged values, by rising loss.
std::vector<std::size_t> by_loss(const CompareCurve& curve) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < curve.marks.size(); ++i) {
        if (curve.marks[i].converged) {
            order.push_back(i);
        }
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return curve.marks[a].loss < curve.marks[b].loss;
    });
    return order;
}

/// A spread that two variants could differ by without showing it: both ends of the band.
constexpr double little_left = 2.0 * variant_band;

struct Range {
    double low = 0, high = 0;
    [[nodiscard]] double scaled(double value) const { return (value - low) / (high - low); }
    [[nodiscard]] bool is_point() const { return !(high > low); }
};

Range range_of(const CompareCurve& curve,
               const std::vector<std::size_t>& order,
               double CompareMark::*member) {
    Range range{curve.marks[order.front()].*member, curve.marks[order.front()].*member};
    for (const std::size_t i : order) {
        range.low = std::min(range.low, curve.marks[i].*member);
        range.high = std::max(range.high, curve.marks[i].*member);
    }
    return range;
}

/// "2.8 %", "2.8-2.9 %".
std::string percent_range(double low, double high) {
    const auto a = fmt::format("{:.1f}", 100.0 * low);
    const auto b = fmt::format("{:.1f}", 100.0 * high);
    return a == b ? a + " %" : fmt::format("{}-{} %", a, b);
}

/// What the spread does from the settled value on, where no later one lowers it by the band.
std::string course(const CompareCurve& curve,
                   const std::vector<std::size_t>& rest,
                   const std::vector<std::string>& values) {
    const Range range = range_of(curve, rest, &CompareMark::spread);
    const double first = curve.marks[rest.front()].spread;
    const std::string band = fmt::format("its band of +/-{:.1f} %", 100.0 * curve.band);
    const bool only_falls = range.low < first && !(range.high > first);
    if (!only_falls && range.high - range.low <= curve.band) {
        return fmt::format(
            "the spread is {} and the same within {}", percent_range(range.low, range.high), band);
    }
    if (range.low < first) {
        return range.high > first
                   ? fmt::format("the spread is {}, and no value lowers it by more than {}",
                                 percent_range(range.low, range.high),
                                 band)
                   : fmt::format("the spread is {} and falls by less than {}",
                                 percent_range(range.low, range.high),
                                 band);
    }
    return fmt::format("the spread does not fall, {:.1f} % at {} and {:.1f} % at {}",
                       100.0 * first,
                       values[rest.front()],
                       100.0 * curve.marks[rest.back()].spread,
                       values[rest.back()]);
}

}  // namespace

void mark_knee(CompareCurve& curve, const PairBand& band) {
    const auto order = by_loss(curve);
    if (order.size() < 3) {
        return;
    }
    const Range loss = range_of(curve, order, &CompareMark::loss);
    const Range spread = range_of(curve, order, &CompareMark::spread);
    const double bought = curve.marks[order.front()].spread - curve.marks[order.back()].spread;
    if (loss.is_point() || spread.is_point() || !(bought > band(order.front(), order.back()))) {
        return;
    }
    const auto x = [&](std::size_t i) { return loss.scaled(curve.marks[i].loss); };
    const auto y = [&](std::size_t i) { return spread.scaled(curve.marks[i].spread); };
    const double x0 = x(order.front()), y0 = y(order.front());
    const double dx = x(order.back()) - x0, dy = y(order.back()) - y0;
    std::vector<std::size_t> below;
    for (const std::size_t i : order) {
        // Distance from the falling line, positive below it: towards less loss and less spread.
        const double distance = ((x(i) - x0) * dy - (y(i) - y0) * dx) / std::hypot(dx, dy);
        curve.marks[i].knee_distance = distance;
        const bool inner = i != order.front() && i != order.back();
        if (distance > 0 && inner) {
            below.push_back(i);
        }
    }
    std::stable_sort(below.begin(), below.end(), [&](std::size_t a, std::size_t b) {
        return *curve.marks[a].knee_distance > *curve.marks[b].knee_distance;
    });
    if (!below.empty()) {
        curve.knee = below[0];
    }
    if (below.size() > 1) {
        curve.second = below[1];
    }
}

std::string knee_remark(const CompareCurve& curve, const std::vector<std::string>& values) {
    const bool past = curve.knee && curve.settled &&
                      curve.marks[*curve.knee].loss > curve.marks[*curve.settled].loss;
    return past ? fmt::format(", within the band of {}", values[*curve.settled]) : std::string();
}

void mark_best(CompareCurve& curve, const PairBand& band) {
    auto order = by_loss(curve);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto &m = curve.marks[a], &n = curve.marks[b];
        return m.loss < n.loss || (!(n.loss < m.loss) && m.spread < n.spread);
    });
    std::optional<std::size_t> last;
    for (const std::size_t i : order) {
        if (!last || curve.marks[*last].spread - curve.marks[i].spread > band(*last, i)) {
            curve.marks[i].best = true;
            last = i;
        }
    }
    for (const std::size_t a : order) {
        for (const std::size_t b : order) {
            const double more = curve.marks[a].spread - curve.marks[b].spread;
            curve.differs = curve.differs || more > band(a, b);
        }
    }
}

std::vector<std::size_t> wide_to_narrow(const CompareCurve& curve,
                                        const std::vector<double>& slot_areas) {
    auto order = by_loss(curve);
    if (!slot_areas.empty()) {
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return slot_areas[a] > slot_areas[b];
        });
    }
    return order;
}

void mark_settled(CompareCurve& curve,
                  const std::vector<std::size_t>& order,
                  const PairBand& band) {
    for (std::size_t i = 0; i < order.size() && !curve.settled; ++i) {
        double widest = 0;
        const bool helped = std::any_of(
            order.begin() + static_cast<std::ptrdiff_t>(i) + 1, order.end(), [&](std::size_t j) {
                const double gain = curve.marks[order[i]].spread - curve.marks[j].spread;
                const double uncertainty = band(order[i], j);
                widest = std::max(widest, uncertainty);
                return gain > uncertainty;
            });
        if (!helped) {
            curve.settled = order[i];
            curve.band = widest;
        }
    }
}

std::string verdict_of(const CompareCurve& curve,
                       const std::vector<std::size_t>& order,
                       bool by_area,
                       CompareCost cost,
                       const std::vector<std::string>& values) {
    if (order.size() < 2 || !curve.settled) {
        return "fewer than two values converged: nothing can be said";
    }
    const auto at = static_cast<std::size_t>(std::find(order.begin(), order.end(), *curve.settled) -
                                             order.begin());
    const bool of_slot = cost == CompareCost::slot;
    const std::string more = by_area ? "narrower" : of_slot ? "more slot loss" : "more loss";
    const std::string& from = values[order[at]];
    if (at + 1 == order.size()) {
        return fmt::format("{} still helps at {}, the last value", more, from);
    }
    const std::vector<std::size_t> later(order.begin() + static_cast<std::ptrdiff_t>(at),
                                         order.end());
    const Range rest = range_of(curve, later, &CompareMark::spread);
    const std::string where = at == 0 ? "here" : (by_area ? "below " : "past ") + from;
    std::string left;
    if (!curve.point.empty()) {
        left = rest.low <= little_left ? "; little is left to win"
               : of_slot               ? "; the rest is wave action behind the slot"
                                       : "";
    }
    return fmt::format("{} will not help {}: from {} to {} {}{}",
                       more,
                       where,
                       from,
                       values[order.back()],
                       course(curve, later, values),
                       left);
}

std::string slot_verdict_of(const CompareCurve& curve, const std::vector<std::string>& values) {
    const auto order = by_loss(curve);
    if (!curve.no_slot || !curve.no_slot->converged || order.empty()) {
        return "";
    }
    const Range with = range_of(curve, order, &CompareMark::spread);
    const double without = curve.no_slot->spread;
    std::vector<std::string> harms;
    bool helps = false;
    for (std::size_t i = 0; i < curve.marks.size(); ++i) {
        if (!curve.marks[i].converged) {
            continue;
        }
        if (curve.marks[i].spread > without + variant_band) {
            harms.push_back(values[i]);
        }
        helps = helps || curve.marks[i].spread < without - variant_band;
    }
    const std::string figures = fmt::format("spread {:.1f} % without it, {} with it",
                                            100.0 * without,
                                            percent_range(with.low, with.high));
    if (harms.size() == order.size()) {
        return fmt::format("the slot harms at every value: {}", figures);
    }
    if (!harms.empty()) {
        return fmt::format("the slot harms at {}{}: {}",
                           fmt::join(harms, ", "),
                           helps ? "" : " and helps at no value",
                           figures);
    }
    return helps ? std::string()
                 : fmt::format("the slot does not help: {}, which cannot be told apart", figures);
}

}  // namespace plenair::study
