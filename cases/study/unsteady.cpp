#include "cases/study/unsteady.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace plenair {

namespace {

OfCase of_case(const Case& c) {
    return {c.title, c.digest, c.text, c.assumed, c.units};
}

// A peak stands so far above the valleys on its two sides; less is rounding.
constexpr double prominence = 1.05;

/// Least size on the way from a peak to where it is passed, or to the end.
template <class Size>
double valley(const Size& size, std::size_t peak, std::size_t count, int step) {
    double least = size(peak);
    for (auto i = static_cast<std::ptrdiff_t>(peak) + step;
         i >= 0 && i < static_cast<std::ptrdiff_t>(count);
         i += step) {
        const double here = size(static_cast<std::size_t>(i));
        if (here > size(peak)) {
            break;
        }
        least = std::min(least, here);
    }
    return least;
}

/// Local maxima that stand out.
void find_peaks(const ResponseResult& rig, std::size_t place, std::vector<ResponsePeak>& peaks) {
    const AnsweringSeries& series = rig.series[place];
    const auto size = [&](std::size_t i) { return std::abs(series.per_pascal[i]); };
    for (std::size_t i = 1; i + 1 < series.per_pascal.size(); ++i) {
        const double left = size(i - 1), here = size(i), right = size(i + 1);
        const std::size_t count = series.per_pascal.size();
        if (!(here > left && here >= right) ||
            here < prominence * std::max(valley(size, i, count, -1), valley(size, i, count, 1))) {
            continue;
        }
        // Of 1/amplitude^2, which is a parabola about the resonance of a lightly damped swing.
        const double a = 1.0 / (left * left), b = 1.0 / (here * here), c = 1.0 / (right * right);
        const double shift = 0.5 * (a - c) / (a - 2.0 * b + c);
        const double step = rig.frequency[i + 1] - rig.frequency[i];
        peaks.push_back({place, rig.frequency[i] + shift * step, here});
    }
}

}  // namespace

TransientStudyResult transient(const TransientPlan& plan, const Watcher& watcher) {
    const Case& c = plan.base;
    return {of_case(c), solve_transient(c.intake, plan.settings, c.model, watcher)};
}

ResponseStudyResult response(const ResponsePlan& plan, const Watcher& watcher) {
    const Case& c = plan.base;
    ResponseStudyResult result{of_case(c),
                               plan.settings.in_room,
                               solve_response(c.intake, plan.settings, c.model, watcher),
                               {}};
    for (std::size_t i = 0; i < result.rig.series.size(); ++i) {
        if (result.rig.series[i].kind == SeriesKind::pressure) {
            find_peaks(result.rig, i, result.peaks);
        }
    }
    return result;
}

}  // namespace plenair
