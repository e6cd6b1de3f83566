#include "cases/study/verdict.hpp"
#include "cases/study/percent.hpp"

#include "geometry/contract.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair {

namespace {

using study::in_percent;

double in_rpm(double speed) {
    return geometry::to_unit(speed, "rpm");
}

using Points = std::vector<const PointResult*>;

/// The end bias of a bank at a speed.
struct EndBias {
    double speed = 0, value = 0;
};

std::size_t bank_count(const Points& points) {
    std::size_t banks = 1;
    for (const auto* point : points) banks = std::max(banks, point->banks.size());
    return banks;
}

/// Where the end bias of one bank changes its sign, among points that are neighbours.
void add_reversals(const Points& points, std::size_t bank, std::vector<Reversal>& found) {
    std::vector<EndBias> told;
    std::string name;
    for (const auto* point : points) {
        if (!point->converged) continue;
        double end_bias = point->end_bias;
        if (bank < point->banks.size()) {
            end_bias = point->banks[bank].end_bias;
            name = point->banks[bank].name;
        }
        if (std::abs(end_bias) > least_difference(*point)) {
            told.push_back({point->speed, end_bias});
        }
    }
    std::stable_sort(
        told.begin(), told.end(), [](const auto& a, const auto& b) { return a.speed < b.speed; });
    for (std::size_t i = 1; i < told.size(); ++i) {
        const auto &a = told[i - 1], &b = told[i];
        if (a.value * b.value < 0 && b.speed > a.speed) {
            found.push_back({a.speed, b.speed, name});
        }
    }
}

/// Whether some row of cylinders of a converged point has two ends.
bool has_ends(const PointResult& point) {
    if (point.banks.empty()) return point.cylinders.size() > 1;
    return std::any_of(point.banks.begin(), point.banks.end(), [](const auto& bank) {
        return !bank.first.empty();
    });
}

void look_at_ends(const SolveResult& result, Verdict& v) {
    Points all;
    for (const auto& point : result.points) {
        all.push_back(&point);
        v.any_ends = v.any_ends || (point.converged && has_ends(point));
    }
    const std::size_t banks = bank_count(all);
    v.several_ends = banks > 1;
    for (std::size_t bank = 0; bank < banks; ++bank) {
        for (const auto& group : result.groups()) add_reversals(group, bank, v.reversals);
    }
}

/// The larger of two spreads, and whether it is more than the band of its point.
void take_larger(double spread,
                 const PointResult& point,
                 std::optional<double>& largest,
                 bool& told) {
    if (!largest || spread > *largest) {
        largest = spread;
        told = spread > least_difference(point);
    }
}

void look_at_slot(const PointResult& point, Verdict& v) {
    if (!point.converged || point.no_slot_air_flow <= 0) return;
    if (point.cylinders.size() < 2) {
        const double cost = 1 - point.air_flow / point.no_slot_air_flow;
        v.slot_cost = std::max(v.slot_cost.value_or(cost), cost);
        return;
    }
    const double told = least_difference(point);
    const double more = point.spread - point.no_slot_spread;
    if (more > v.slot_uncertainty && point.spread > told) v.harmed.push_back(point.name);
    if (-more > v.slot_uncertainty && point.no_slot_spread > told) v.helped.push_back(point.name);
    take_larger(point.spread, point, v.with_slot, v.with_told);
    take_larger(point.no_slot_spread, point, v.without_slot, v.without_told);
}

std::string all_points(const Verdict& v) {
    return v.converged == 2 ? "both points" : fmt::format("all {} points", v.converged);
}

std::string count_text(const Verdict& v) {
    const std::string target = fmt::format("{:.1f} %", in_percent(v.target));
    if (v.meeting == v.converged) {
        return v.converged == 1
                   ? fmt::format("The spread stays within {} at the one point that stands", target)
                   : fmt::format("The spread stays within {} at {}", target, all_points(v));
    }
    if (v.meeting == 0) {
        return v.converged == 1
                   ? fmt::format("The spread exceeds {} at the one point that stands", target)
                   : fmt::format("The spread exceeds {} at {}", target, all_points(v));
    }
    return fmt::format(
        "The spread stays within {} at {} of {} points", target, v.meeting, v.converged);
}

/// Points within the target, the worst of them and its leanest cylinder.
std::string spread_text(const PointResult& worst, const Verdict& v) {
    std::string text =
        count_text(v) + fmt::format("; it is largest at {} ({:.0f} rpm) with {:.1f} %",
                                    worst.name,
                                    in_rpm(worst.speed),
                                    in_percent(worst.spread));
    if (!v.leanest.empty()) {
        const bool one = v.leanest.size() == 1;
        text += fmt::format(
            ", where {} {} the most air ({:+.1f} %) and so {} the leanest on equal fuel.",
            geometry::cylinder_words(v.leanest),
            one ? "gets" : "get",
            in_percent(v.leanest_bias),
            one ? "is" : "are");
    } else {
        text += fmt::format(", {} the {:.1f} % that can be told apart: no cylinder is named.",
                            worst.spread > least_difference(worst)
                                ? "but none gets more air than the mean by"
                                : "which is not more than",
                            in_percent(least_difference(worst)));
    }
    return text;
}

}  // namespace

double least_difference(const PointResult& point) {
    return point.bias_band > 0 ? point.bias_band : variant_band;
}

std::vector<int> most_air(const std::vector<int>& numbers, const std::vector<double>& biases) {
    const auto printed = [](double bias) { return std::lround(1000 * bias); };
    std::vector<int> most;
    if (!biases.empty()) {
        const auto top = printed(*std::max_element(biases.begin(), biases.end()));
        for (std::size_t i = 0; i < biases.size(); ++i) {
            if (printed(biases[i]) == top) most.push_back(numbers[i]);
        }
    }
    std::sort(most.begin(), most.end());
    return most;
}

std::vector<Reversal> reversals(const std::vector<const PointResult*>& points) {
    std::vector<Reversal> found;
    const std::size_t banks = bank_count(points);
    for (std::size_t bank = 0; bank < banks; ++bank) add_reversals(points, bank, found);
    return found;
}

const PointResult& worst_of(const SolveResult& result, const Verdict& v) {
    PLENAIR_EXPECT(v.worst.has_value());
    return v.between ? *result.curves.at(*v.between).worst : result.points.at(*v.worst);
}

bool meets(const PointResult& point, double target) {
    return point.spread <= target;
}

Verdict verdict(const SolveResult& result, double target) {
    Verdict v;
    v.target = target;
    v.points = static_cast<int>(result.points.size());
    for (std::size_t i = 0; i < result.points.size(); ++i) {
        const auto& point = result.points[i];
        if (!point.converged) continue;
        ++v.converged;
        if (meets(point, target)) ++v.meeting;
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
        std::vector<int> numbers;
        std::vector<double> biases;
        for (const auto& cylinder : worst.cylinders) {
            numbers.push_back(cylinder.cylinder);
            biases.push_back(cylinder.bias);
        }
        const double most = biases.empty() ? 0 : *std::max_element(biases.begin(), biases.end());
        if (most > least_difference(worst)) {
            v.leanest = most_air(numbers, biases);
            v.leanest_bias = most;
        }
    }
    look_at_ends(result, v);
    for (const auto& point : result.points) look_at_slot(point, v);
    // The speed between the steps too that is said to be the worst.
    if (v.between) look_at_slot(*result.curves[*v.between].worst, v);
    return v;
}

std::string verdict_text(const SolveResult& result, const Verdict& v) {
    if (!v.worst) return "No point converged: there is no result.";
    const auto& worst = worst_of(result, v);
    std::string text = worst.cylinders.size() == 1
                           ? std::string("One cylinder gets all the air: there is no spread.")
                           : spread_text(worst, v);
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

std::string slot_text(const Verdict& v) {
    if (v.slot_cost && *v.slot_cost > 0) {
        return fmt::format(
            "The slot has nothing to even and costs up to {:.1f} % of the air: take the wall out.",
            in_percent(*v.slot_cost));
    }
    if (!v.with_slot) return "";
    const double with = *v.with_slot, without = *v.without_slot;
    const std::string without_it = "without it, one plenum with the section of both chambers";
    const auto but = [](const char* does, const std::vector<std::string>& at) {
        return at.empty() ? std::string()
                          : fmt::format("; but it {} at {}", does, fmt::join(at, ", "));
    };
    const std::string harmed = but("harms", v.harmed);
    if (with > without + v.slot_uncertainty && v.with_told) {
        return fmt::format(
            "The slot harms: {}, the spread is at most {:.1f} %, with it {:.1f} %{}; {}.",
            without_it,
            in_percent(without),
            in_percent(with),
            but("helps", v.helped),
            v.helped.empty() ? "take the wall out, or change the slot" : "change the slot");
    }
    if (with > without - v.slot_uncertainty || !v.without_told) {
        return fmt::format(
            "The slot does not help: {}, the spread is at most {:.1f} %, with it {:.1f} %, which "
            "cannot be told apart{}.",
            without_it,
            in_percent(without),
            in_percent(with),
            harmed);
    }
    return fmt::format("The slot helps: {}, the spread is at most {:.1f} %, with it {:.1f} %{}.",
                       without_it,
                       in_percent(without),
                       in_percent(with),
                       harmed);
}

std::string banks_text(const SolveResult& result, const Verdict& v) {
    if (!v.worst || result.points[*v.worst].banks.size() < 2) return "";
    const auto& point = result.points[*v.worst];
    std::string shares, inside;
    for (const auto& bank : point.banks) {
        const std::string name = geometry::bank_words(bank.name);
        shares += shares.empty()
                      ? fmt::format("{} gets {:.1f} % of the air", name, in_percent(bank.share))
                      : fmt::format(", {} {:.1f} %", name, in_percent(bank.share));
        if (bank.cylinders.size() < 2) continue;
        inside +=
            inside.empty()
                ? fmt::format("; the spread inside {} is {:.1f} %", name, in_percent(bank.spread))
                : fmt::format(", inside {} {:.1f} %", name, in_percent(bank.spread));
    }
    return fmt::format("At {} {}{}.", point.name, shares, inside);
}

std::string reversal_text(const Verdict& v) {
    if (v.converged < 2 || !v.any_ends) return "";
    return reversal_text(v.reversals, v.several_ends);
}

std::string reversal_text(const std::vector<Reversal>& reversals, bool several_ends) {
    if (reversals.empty()) {
        return several_ends ? "In no bank does the end bias reverse by more than can be told apart."
                            : "The end bias does not reverse by more than can be told apart.";
    }
    std::string speeds;
    for (const auto& reversal : reversals) {
        speeds +=
            fmt::format("{}{}between {:.0f} and {:.0f} rpm",
                        speeds.empty() ? "" : ", ",
                        reversal.bank.empty() ? std::string()
                                              : "in " + geometry::bank_words(reversal.bank) + " ",
                        in_rpm(reversal.from),
                        in_rpm(reversal.to));
    }
    return fmt::format(
        "The end bias reverses {}: a correction that helps at one speed harms at the other.",
        speeds);
}

std::string verdict_words(const SolveResult& result) {
    const Verdict v = verdict(result);
    std::string text = verdict_text(result, v);
    for (const auto& more : {slot_text(v), banks_text(result, v), reversal_text(v)}) {
        if (!more.empty()) text += " " + more;
    }
    return text;
}

std::string narrowed_words(const Bands& bands) {
    std::string text;
    const auto add = [&](const char* what, double before, double now, int digits) {
        const std::string from = fmt::format("{:.{}f}", in_percent(before), digits);
        const std::string to = fmt::format("{:.{}f}", in_percent(now), digits);
        text += text.empty() ? "" : ", ";
        text += from == to ? fmt::format("leaves the band of {} at {} %", what, to)
                           : fmt::format("{} the band of {} from {} to {} %",
                                         now < before ? "narrows" : "widens",
                                         what,
                                         from,
                                         to);
    };
    add("a bias", bands.before.bias, bands.sum.bias, 2);
    add("the air", bands.before.air, bands.sum.air, 1);
    return "what the readings taught " + text;
}

std::string cells_words(const Bands& bands) {
    return fmt::format(
        "cells of twice the length move a bias by {:.2f} % and the air by {:.2f} %; the "
        "aim is at most {:.1f} and {:.1f} %: shorter cells (model.cells, such as fine) know this "
        "point better",
        100 * bands.cells.bias,
        100 * bands.cells.air,
        100 * aimed_cells_bias,
        100 * aimed_cells_air);
}

std::string band_parts_words(const PointResult& point) {
    constexpr std::size_t named = 3;
    auto parts = point.band_parts;
    // One cylinder has no bias: its parts are those of the air.
    const auto member = point.cylinders.size() == 1 ? &BandPart::air : &BandPart::bias;
    if (member == &BandPart::air) {
        std::stable_sort(
            parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.air > b.air; });
    }
    std::string text;
    for (std::size_t i = 0; i < std::min(named, parts.size()); ++i) {
        text +=
            fmt::format("{}{} {:.2f} %", i > 0 ? ", " : "", parts[i].name, 100 * parts[i].*member);
    }
    return text;
}

}  // namespace plenair
