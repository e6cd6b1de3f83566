#include "cases/report/html_parts.hpp"
#include "cases/report/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace plenair::html {

namespace {

/// Bias on the bench of each cylinder, in the order of the runners over all banks; empty where the
/// bench did not run or has other runners than the engine.
std::vector<double> bench_biases(const ReportSource& source, std::size_t cylinders) {
    if (!source.bench || !source.bench->converged) return {};
    const auto numbers = bench_numbers(*source.bench, 0);
    std::vector<double> biases;
    for (const auto& bias : numbers.bias) {
        if (!bias) return {};
        biases.push_back(*bias);
    }
    return biases.size() == cylinders ? biases : std::vector<double>();
}

/// Cylinder numbers in the order of the runners.
std::vector<int> runner_order(const ReportSource& source) {
    std::vector<int> order;
    for (const auto& bank : source.design->intake.banks) {
        for (std::size_t i = 0; i < bank.runners.size(); ++i) {
            order.push_back(i < bank.cylinders.size() ? bank.cylinders[i]
                                                      : static_cast<int>(order.size()) + 1);
        }
    }
    return order;
}

double spread_of(const std::vector<double>& values) {
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    return *high - *low;
}

/// What of the engine's spread the steady picture explains, in words.
std::string lever(double steady, double engine) {
    if (engine <= variant_band) return "There is nothing to explain: the spread is inside 0.5 %.";
    if (steady >= 0.5 * engine) {
        return "The steady feed is a large part of it: slot width, taper of the pre-chamber and "
               "the "
               "jet of the throttle are levers.";
    }
    return "The steady feed explains little of it. The rest is wave action and the order in which "
           "the cylinders draw: a narrower slot will not cure it; runner length, plenum volume and "
           "section are the levers.";
}

std::string compared(const Place& place, const std::vector<double>& biases) {
    const Verdict v = verdict(place.result());
    if (!v.worst) return "";
    const auto& worst = place.result().points[*v.worst];
    const auto order = runner_order(place.source);
    std::vector<std::string> heads = {""};
    std::vector<Cell> bench = {{"Bench, steady, all runners open", "word"}},
                      engine = {{"Engine at " + point_text(worst), "word"}};
    for (std::size_t i = 0; i < order.size() && i < biases.size(); ++i) {
        heads.push_back(fmt::format("Cylinder {}", order[i]));
        bench.push_back({bias_text(biases[i]), bias_class(biases[i], variant_band)});
        const auto* c = find_cylinder(worst, order[i]);
        engine.push_back({c == nullptr ? "-" : bias_text(c->bias),
                          c == nullptr ? "none" : bias_class(c->bias, least_difference(worst))});
    }
    heads.emplace_back("Spread<br>%");
    bench.push_back({fixed(percent(spread_of(biases)), 1), "strong"});
    engine.push_back({fixed(percent(worst.spread), 1), "strong"});
    Table table("Bias in %: the same metal on a flow bench and in the engine", heads);
    table.row(bench);
    table.row(engine);
    return table.text("Bench and engine") + paragraph("<strong>What limits the result.</strong> " +
                                                      lever(spread_of(biases), worst.spread));
}

}  // namespace

std::string bench_section(const Place& place) {
    const auto biases = bench_biases(place.source, cylinder_numbers(place.result()).size());
    std::string text = paragraph(
        "On a bench all runners draw at once and steadily. What differs between them is the "
        "pressure "
        "that the air regains along the chambers as it leaves them, so shares usually rise or fall "
        "evenly from one end to the other. In the engine one or two cylinders draw at a time, in "
        "the "
        "firing order: the plenum swings between the draws, and a cylinder finds the wave that its "
        "neighbours left. Both are right for what they describe. Compare a bench with a bench, and "
        "trim from the engine.");
    if (!biases.empty() && place.source.design) text += compared(place, biases);
    return section(place.id("bench"), "Why bench and engine differ", text);
}

}  // namespace plenair::html
