#include "cases/study/verdict.hpp"
#include "cases/study/percent.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

using study::in_percent;

double in_rpm(double speed) {
    return geometry::to_unit(speed, "rpm");
}

std::vector<Reversal> all_reversals(const SolveResult& result) {
    std::vector<Reversal> found;
    for (const auto& group : result.groups()) {
        const auto more = reversals(group);
        found.insert(found.end(), more.begin(), more.end());
    }
    return found;
}

std::string count_text(const Verdict& v) {
    const std::string target = fmt::format("{:.1f} %", in_percent(v.target));
    if (v.meeting == v.converged) {
        return v.converged == 1
                   ? fmt::format("The spread stays within {} at the one point that stands", target)
                   : fmt::format(
                         "The spread stays within {} at all {} points", target, v.converged);
    }
    if (v.meeting == 0) {
        return v.converged == 1
                   ? fmt::format("The spread exceeds {} at the one point that stands", target)
                   : fmt::format("The spread exceeds {} at all {} points", target, v.converged);
    }
    return fmt::format(
        "The spread stays within {} at {} of {} points", target, v.meeting, v.converged);
}

}  // namespace

double least_difference(const PointResult& point) {
    return point.bias_band > 0 ? point.bias_band : variant_band;
}

std::vector<Reversal> reversals(std::vector<const PointResult*> points) {
    std::erase_if(points, [](const auto* point) {
        return !point->converged || std::abs(point->end_bias) <= least_difference(*point);
    });
    std::stable_sort(points.begin(), points.end(), [](const auto* a, const auto* b) {
        return a->speed < b->speed;
    });
    std::vector<Reversal> found;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const auto &a = *points[i - 1], &b = *points[i];
        if (a.end_bias * b.end_bias < 0 && b.speed > a.speed) found.push_back({a.speed, b.speed});
    }
    return found;
}

const PointResult& worst_of(const SolveResult& result, const Verdict& v) {
    return v.between ? *result.curves.at(*v.between).worst : result.points.at(*v.worst);
}

Verdict verdict(const SolveResult& result, double target) {
    Verdict v;
    v.target = target;
    v.points = static_cast<int>(result.points.size());
    for (std::size_t i = 0; i < result.points.size(); ++i) {
        const auto& point = result.points[i];
        if (!point.converged) continue;
        ++v.converged;
        if (point.spread <= target) ++v.meeting;
        if (!v.worst || point.spread > result.points[*v.worst].spread) v.worst = i;
    }
    double most_spread = v.worst ? result.points[*v.worst].spread : 0;
    for (std::size_t i = 0; i < result.curves.size(); ++i) {
        const auto& between = result.curves[i].worst;
        if (v.worst && between && between->spread > most_spread) {
            v.between = i;
            most_spread = between->spread;
        }
    }
    if (v.worst) {
        const auto& worst = worst_of(result, v);
        const auto most = std::max_element(
            worst.cylinders.begin(), worst.cylinders.end(), [](const auto& a, const auto& b) {
                return a.bias < b.bias;
            });
        if (most != worst.cylinders.end() && worst.spread > least_difference(worst)) {
            v.leanest = most->cylinder;
            v.leanest_bias = most->bias;
        }
    }
    v.reversals = all_reversals(result);
    return v;
}

std::string verdict_text(const SolveResult& result, const Verdict& v) {
    if (!v.worst) return "No point converged: there is no result.";
    const auto& worst = worst_of(result, v);
    std::string text =
        count_text(v) + fmt::format("; it is largest at {} ({:.0f} rpm) with {:.1f} %",
                                    worst.name,
                                    in_rpm(worst.speed),
                                    in_percent(worst.spread));
    if (v.leanest > 0) {
        text += fmt::format(
            ", where cylinder {} gets the most air ({:+.1f} %) and so is the leanest on equal "
            "fuel.",
            v.leanest,
            in_percent(v.leanest_bias));
    } else {
        text += fmt::format(
            ", which is not more than the {:.1f} % that can be told apart: no cylinder is named.",
            in_percent(least_difference(worst)));
    }
    if (v.converged < v.points) {
        const int without = v.points - v.converged;
        text +=
            fmt::format(" {} of {} points did not converge or {} not computed, and {} no result.",
                        without,
                        v.points,
                        without == 1 ? "was" : "were",
                        without == 1 ? "is" : "are");
    }
    return text;
}

std::string reversal_text(const Verdict& v) {
    if (v.converged < 2) return "";
    if (v.reversals.empty()) {
        return "The end bias does not reverse by more than can be told apart.";
    }
    std::string speeds;
    for (const auto& reversal : v.reversals) {
        speeds += fmt::format("{}between {:.0f} and {:.0f} rpm",
                              speeds.empty() ? "" : ", ",
                              in_rpm(reversal.from),
                              in_rpm(reversal.to));
    }
    return fmt::format(
        "The end bias reverses {}: a correction that helps at one speed harms at the other.",
        speeds);
}

std::string verdict_words(const SolveResult& result) {
    const Verdict v = verdict(result);
    const std::string text = verdict_text(result, v), reversal = reversal_text(v);
    return reversal.empty() ? text : text + " " + reversal;
}

std::string narrowed_words(const Bands& bands) {
    return fmt::format(
        "what the readings taught narrows the band of a bias from {:.2f} to {:.2f} %, of the air "
        "from "
        "{:.1f} to {:.1f} %",
        100 * bands.before.bias,
        100 * bands.sum.bias,
        100 * bands.before.air,
        100 * bands.sum.air);
}

std::string band_parts_words(const PointResult& point) {
    constexpr std::size_t named = 3;
    std::string text;
    for (std::size_t i = 0; i < std::min(named, point.band_parts.size()); ++i) {
        const BandPart& part = point.band_parts[i];
        text += fmt::format("{}{} {:.2f} %", i > 0 ? ", " : "", part.name, 100 * part.bias);
    }
    return text;
}

}  // namespace plenair
