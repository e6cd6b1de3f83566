#include "cases/study/compare.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/chosen_points.hpp"
#include "cases/study/compare_curve.hpp"
#include "cases/study/no_slot.hpp"
#include "cases/study/solve_points.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <atomic>
#include <cmath>

namespace plenair {

namespace {

using study::PairBand;

void check_request(const std::string& key, const std::vector<ComparedCase>& values) {
    if (values.size() < 2) {
        throw InputError({fmt::format(
            "{}: {} value to compare; give at least two", key, values.empty() ? "no" : "one")});
    }
}

/// All that is solved: results, and spreads with the coefficients moved where bands are wanted.
struct Solved {
    std::vector<std::vector<PointResult>> results;  ///< value x point; the last is without slot
    std::vector<std::vector<MovedSpreads>> moved;  ///< the same, empty without bands
};

Solved solve_all(const std::vector<const Case*>& cases,
                 const std::vector<std::size_t>& points,
                 std::size_t values,
                 const CompareOptions& options) {
    Solved solved;
    solved.results.resize(cases.size(), std::vector<PointResult>(points.size()));
    solved.moved.resize(cases.size(), std::vector<MovedSpreads>(points.size()));
    const auto runs = study::runs_of(*cases.front(), points);
    const std::size_t total = cases.size() * points.size();
    std::atomic<int> done{0};
    for_each_job(cases.size() * runs.size(), options.threads, [&](std::size_t job) {
        const std::size_t v = job / runs.size();
        const Case& c = *cases[v];
        std::vector<OperatingPoint> list;
        for (const std::size_t p : points) {
            list.push_back(c.points.at(p));
        }
        const study::PointRun& run = runs[job % runs.size()];
        auto points_of_run = study::solve_run(c, list, run, {});
        if (options.bands && v < values) {
            std::vector<study::NearPoint> near;
            for (std::size_t i = 0; i < run.count; ++i) {
                near.push_back(
                    {&list[run.first + i], &points_of_run[i].result, &points_of_run[i].end});
            }
            auto moved = moved_spreads(c, near);
            std::move(moved.begin(),
                      moved.end(),
                      solved.moved[v].begin() + static_cast<std::ptrdiff_t>(run.first));
        }
        for (std::size_t i = 0; i < run.count; ++i) {
            solved.results[v][run.first + i] = std::move(points_of_run[i].result);
        }
        if (options.progress) {
            done += static_cast<int>(run.count);
            options.progress(done, static_cast<int>(total));
        }
    });
    return solved;
}

double all_losses(const PointResult& point) {
    return point.throttle_loss + point.slot_loss + point.mouth_loss + point.port_loss;
}

CompareMark mark_of(const PointResult& point, const PointResult* no_slot, CompareCost cost) {
    CompareMark mark;
    mark.converged = point.converged;
    if (!point.converged) {
        return mark;
    }
    mark.spread = point.spread;
    mark.slot_loss = point.slot_loss;
    mark.loss = cost == CompareCost::slot ? point.slot_loss : all_losses(point);
    mark.air_flow = point.air_flow;
    if (no_slot != nullptr && no_slot->converged && no_slot->air_flow > 0) {
        mark.air_lost = 1.0 - point.air_flow / no_slot->air_flow;
    }
    return mark;
}

/// One mark from those of all points: the worst spread, the means of the others.
CompareMark over_points(const std::vector<CompareMark>& marks,
                        const std::vector<std::string>& names) {
    CompareMark all;
    all.converged = std::all_of(marks.begin(), marks.end(), [](auto& m) { return m.converged; });
    if (!all.converged) {
        return all;
    }
    const auto count = static_cast<double>(marks.size());
    double lost = 0;
    int lost_known = 0;
    for (std::size_t p = 0; p < marks.size(); ++p) {
        all.slot_loss += marks[p].slot_loss / count;
        all.loss += marks[p].loss / count;
        all.air_flow += marks[p].air_flow / count;
        lost += marks[p].air_lost.value_or(0);
        lost_known += marks[p].air_lost ? 1 : 0;
        if (p == 0 || marks[p].spread > all.spread) {
            all.spread = marks[p].spread;
            all.worst_point = names[p];
        }
    }
    if (lost_known > 0) {
        all.air_lost = lost / lost_known;
    }
    return all;
}

bool one_cylinder(const CompareResult& result) {
    return result.results.front().front().cylinders.size() == 1;
}

/// Of one cylinder, which has no spread: what the slot takes of its air; empty where none.
std::string slot_cost_of(const CompareCurve& curve) {
    double low = HUGE_VAL, high = 0;
    for (const auto& mark : curve.marks) {
        if (mark.converged && mark.air_lost) {
            low = std::min(low, *mark.air_lost);
            high = std::max(high, *mark.air_lost);
        }
    }
    return high > 0
               ? fmt::format("the slot has nothing to even and costs {:.1f} to {:.1f} % of the air",
                             100.0 * low,
                             100.0 * high)
               : std::string();
}

void assess_curve(CompareCurve& curve, const CompareResult& result, const PairBand& band) {
    study::mark_best(curve, band);
    const auto order = study::wide_to_narrow(curve, result.slot_areas);
    study::mark_settled(curve, order, band);
    study::mark_knee(curve, band);
    if (one_cylinder(result)) {
        curve.slot_verdict = slot_cost_of(curve);
        return;
    }
    curve.verdict =
        study::verdict_of(curve, order, !result.slot_areas.empty(), result.cost, result.values);
    curve.slot_verdict = study::slot_verdict_of(curve, result.values);
}

CompareCurve point_curve(const CompareResult& result, std::size_t p) {
    CompareCurve curve;
    const PointResult* no_slot = result.no_slot.empty() ? nullptr : &result.no_slot[p];
    curve.point = result.results.front()[p].name;
    for (const auto& points : result.results) {
        curve.marks.push_back(mark_of(points[p], no_slot, result.cost));
    }
    if (no_slot != nullptr) {
        curve.no_slot = mark_of(*no_slot, nullptr, result.cost);
    }
    return curve;
}

CompareCurve overall_curve(const std::vector<CompareCurve>& points) {
    CompareCurve curve;
    std::vector<std::string> names;
    for (const auto& point : points) {
        names.push_back(point.point);
    }
    const auto collect = [&](const auto& pick) {
        std::vector<CompareMark> marks;
        for (const auto& point : points) {
            marks.push_back(pick(point));
        }
        return over_points(marks, names);
    };
    for (std::size_t v = 0; v < points.front().marks.size(); ++v) {
        curve.marks.push_back(collect([v](const auto& point) { return point.marks[v]; }));
    }
    if (points.front().no_slot) {
        curve.no_slot = collect([](const auto& point) { return *point.no_slot; });
    }
    return curve;
}

void add_curves(CompareResult& result, const Solved& solved) {
    std::vector<CompareCurve> points;
    std::vector<PairBand> bands;
    for (std::size_t p = 0; p < result.results.front().size(); ++p) {
        bands.emplace_back([&result, &solved, p](std::size_t a, std::size_t b) {
            return result.computed_bands ? difference_band(result.results[a][p].spread,
                                                           solved.moved[a][p],
                                                           result.results[b][p].spread,
                                                           solved.moved[b][p])
                                         : variant_band;
        });
        points.push_back(point_curve(result, p));
    }
    result.curves.push_back(overall_curve(points));
    assess_curve(result.curves.front(), result, [&bands](std::size_t a, std::size_t b) {
        double largest = 0;
        for (const auto& band : bands) {
            largest = std::max(largest, band(a, b));
        }
        return largest;
    });
    for (std::size_t p = 0; p < points.size(); ++p) {
        assess_curve(points[p], result, bands[p]);
        result.curves.push_back(std::move(points[p]));
    }
}

/// "slot loss", "loss": what the spreads are weighed against.
std::string cost_words(const CompareResult& result) {
    return result.cost == CompareCost::slot ? "slot loss" : "loss";
}

/// "5 mm: worst spread 3.9 % at A3, mean slot loss 5.7 kPa, 1.2 % less air than without slot".
std::string figures(const CompareResult& result, std::size_t value) {
    const CompareMark& mark = result.curves.front().marks[value];
    const bool several = result.several_points();
    auto text = fmt::format("{}: {}spread {:.1f} % at {}, {}{} {:.1f} kPa",
                            result.values[value],
                            several ? "worst " : "",
                            100.0 * mark.spread,
                            mark.worst_point,
                            several ? "mean " : "",
                            cost_words(result),
                            geometry::to_unit(mark.loss, "kPa"));
    if (mark.air_lost) {
        text += fmt::format(", {:.1f} % {} air than without slot",
                            100.0 * std::abs(*mark.air_lost),
                            *mark.air_lost < 0 ? "more" : "less");
    }
    return text;
}

std::string summarise(const CompareResult& result) {
    const CompareCurve& all = result.curves.front();
    if (all.knee) {
        const auto text =
            "knee at " + figures(result, *all.knee) + study::knee_remark(all, result.values);
        return all.second ? text + fmt::format("; next {}", result.values[*all.second]) : text;
    }
    if (std::none_of(all.marks.begin(), all.marks.end(), [](auto& m) { return m.converged; })) {
        return "no value converged at every point";
    }
    // Of values that cannot be told apart the one of least loss.
    std::size_t least = 0;
    for (std::size_t v = 0; v < all.marks.size(); ++v) {
        const bool less = !all.marks[least].best || all.marks[v].spread < all.marks[least].spread;
        least = all.marks[v].best && less ? v : least;
    }
    if (one_cylinder(result)) {
        return fmt::format("one cylinder gets all the air: there is no spread; least {} at {}",
                           cost_words(result),
                           figures(result, least));
    }
    return all.differs
               ? fmt::format("no knee: more {} does not buy less spread in a bend; least at {}",
                             cost_words(result),
                             figures(result, least))
               : fmt::format(
                     "no value differs: the spreads are the same within the band of "
                     "+/-{:.1f} %; least {} at {}",
                     100.0 * all.band,
                     cost_words(result),
                     figures(result, least));
}

std::vector<double> differing_slot_areas(const std::vector<ComparedCase>& values) {
    std::vector<double> areas;
    for (const auto& value : values) {
        areas.push_back(0);
        for (const auto& bank : value.c.intake.banks) {
            areas.back() += bank.slot ? bank.slot->area() : 0.0;
        }
    }
    auto sorted = areas;
    std::sort(sorted.begin(), sorted.end());
    const bool differ = std::adjacent_find(sorted.begin(), sorted.end()) == sorted.end();
    return differ ? areas : std::vector<double>{};
}

}  // namespace

bool CompareResult::converged() const {
    return std::all_of(results.begin(), results.end(), [](const auto& points) {
        return std::all_of(points.begin(), points.end(), [](auto& p) { return p.converged; });
    });
}

CompareResult compare(const Case& base,
                      const std::string& key,
                      const std::vector<ComparedCase>& values,
                      const CompareOptions& options) {
    check_request(key, values);
    CompareResult result;
    result.title = base.title;
    result.case_digest = base.digest;
    result.case_text = base.text;
    result.key = key;
    result.computed_bands = options.bands;
    result.slot_areas = differing_slot_areas(values);
    const bool of_slot = key.starts_with("slot.") || key.find(".slot.") != std::string::npos;
    result.cost = of_slot && study::has_slot(base.intake) ? CompareCost::slot : CompareCost::all;
    std::vector<const Case*> cases;
    for (const auto& value : values) {
        result.values.push_back(value.text);
        result.digests.push_back(value.c.digest);
        cases.push_back(&value.c);
    }
    Case plain = base;
    plain.intake = study::without_slot(base.intake);
    if (study::has_slot(base.intake)) {
        cases.push_back(&plain);
    }
    const Solved solved = solve_all(
        cases, study::chosen_points(base, options.points, "compare"), values.size(), options);
    result.results = solved.results;
    if (cases.size() > values.size()) {
        result.no_slot = result.results.back();
        result.results.pop_back();
    }
    add_curves(result, solved);
    result.summary = summarise(result);
    return result;
}

}  // namespace plenair
