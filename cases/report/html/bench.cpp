#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair::html {

namespace {

/// Bias on the bench of each runner of a bank; empty where the bench did not run, or has not the
/// runners of the bank.
std::vector<double> bench_biases(const BenchResult& bench, const BankResult& bank) {
    if (!bench.converged || bench.bank != bank.name) return {};
    std::vector<double> biases;
    for (const auto& bias : bench_numbers(bench, 0).bias) {
        if (!bias) return {};
        biases.push_back(*bias);
    }
    return biases.size() == bank.cylinders.size() ? biases : std::vector<double>();
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

/// One bank on the bench and in the engine, by rising x of its runners.
std::string compared(const PointResult& worst, const BankResult& bank, const BenchResult& bench) {
    const auto biases = bench_biases(bench, bank);
    if (biases.empty()) return "";
    std::vector<std::string> heads = {"Where"};
    std::vector<Cell> steady = {{"Bench, steady, all runners open", "word"}},
                      engine = {{"Engine at " + point_text(worst), "word"}};
    for (const int number : bank.cylinders) {
        const auto place = std::find(bench.runners.begin(), bench.runners.end(), number);
        const auto* c = find_cylinder(worst, number);
        if (place == bench.runners.end() || c == nullptr) return "";
        const double bias = biases[static_cast<std::size_t>(place - bench.runners.begin())];
        heads.push_back(fmt::format("Cylinder {}", number));
        steady.push_back({bias_text(bias), bias_class(bias, variant_band)});
        engine.push_back(
            {bias_text(c->bank_bias), bias_class(c->bank_bias, least_difference(worst))});
    }
    heads.emplace_back("Spread<br>%");
    steady.push_back({fixed(percent(spread_of(biases)), 1), "strong"});
    engine.push_back({fixed(percent(bank.spread), 1), "strong"});
    const std::string name = bank.name.empty() ? "" : escaped(geometry::bank_words(bank.name));
    Table table(name.empty() ? std::string("Bias in %: the same metal on a flow bench and in the "
                                           "engine")
                             : "Bias inside " + name +
                                   " in %: the same metal on a flow bench and in the engine",
                heads);
    table.row(steady);
    table.row(engine);
    return table.text(name.empty() ? "Bench and engine" : "Bench and engine, " + name) +
           paragraph("<strong>What limits the result" + (name.empty() ? name : " of " + name) +
                     ".</strong> " + lever(spread_of(biases), bank.spread));
}

/// How shares change along a bank on the bench, after where it is fed.
std::string steady_course(const ReportSource& source) {
    const bool one_end =
        source.design && std::all_of(source.design->intake.banks.begin(),
                                     source.design->intake.banks.end(),
                                     [](const auto& bank) {
                                         return geometry::feed_end(bank) != geometry::FeedEnd::none;
                                     });
    return one_end ? "from the fed end to the other" : "away from where the air comes in";
}

}  // namespace

std::string bench_section(const Place& place) {
    std::string text = paragraph(
        "On a bench all runners draw at once and steadily. What differs between them is the "
        "pressure "
        "that the air regains along the chambers as it leaves them, so shares usually rise or fall "
        "evenly " +
        steady_course(place.source) +
        ". In the engine one or two cylinders draw at a time, in "
        "the "
        "firing order: the plenum swings between the draws, and a cylinder finds the wave that its "
        "neighbours left. Both are right for what they describe. Compare a bench with a bench, and "
        "trim from the engine.");
    const Verdict v = verdict(place.result());
    if (v.worst) {
        const auto& worst = place.result().points[*v.worst];
        for (const auto& bank : worst.banks) {
            for (const auto& bench : place.source.bench) text += compared(worst, bank, bench);
        }
    }
    return section(place.id("bench"), "Why bench and engine differ", text);
}

}  // namespace plenair::html
