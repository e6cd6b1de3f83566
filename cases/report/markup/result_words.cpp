#include "cases/report/markup/result_words.hpp"

#include "cases/report/markup/markup.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace plenair::html {

namespace {

std::string with_minus_sign(std::string text) {
    if (text.size() > 1 && text.front() == '-') text.replace(0, 1, "&minus;");
    return text;
}

}  // namespace

std::string bias_text(double bias) {
    return with_minus_sign(signed_percent(bias));
}

std::string number_text(double value, int decimals) {
    return with_minus_sign(fixed(value, decimals));
}

std::string bias_class(double bias, double uncertainty) {
    if (!(std::abs(bias) > uncertainty)) return "even";
    const int level = std::abs(bias) < 0.015 ? 1 : std::abs(bias) < 0.03 ? 2 : 3;
    return fmt::format("{}-{}", bias > 0 ? "more" : "less", level);
}

std::string rpm_text(double speed) {
    return fmt::format("{:.0f}", geometry::to_unit(speed, "rpm"));
}

std::string point_text(const PointResult& point) {
    return fmt::format("{}, {} rpm, {} kPa",
                       escaped(point.name),
                       rpm_text(point.speed),
                       fixed(geometry::to_unit(point.source_pressure, "kPa"), 0));
}

std::vector<int> cylinder_numbers(const SolveResult& result) {
    std::set<int> numbers;
    for (const auto& point : result.points) {
        for (const auto& c : point.cylinders) numbers.insert(c.cylinder);
    }
    return {numbers.begin(), numbers.end()};
}

std::string spread_text(const PointResult& point, double target) {
    constexpr int most = 4;
    int digits = 1;
    while (target > 0 && digits < most && !meets(point, target) &&
           fixed(percent(point.spread), digits) == fixed(percent(target), digits)) {
        ++digits;
    }
    return fixed(percent(point.spread), digits);
}

const std::vector<BankResult>& banks_of(const SolveResult& result) {
    static const std::vector<BankResult> none;
    const auto found = std::find_if(result.points.begin(), result.points.end(), [](const auto& p) {
        return p.converged && !p.banks.empty();
    });
    return found == result.points.end() ? none : found->banks;
}

std::string end_bias_note(const SolveResult& result) {
    std::string text;
    for (const auto& bank : banks_of(result)) {
        const std::string ends = geometry::end_bias_words({bank.cylinders, bank.first, bank.last});
        if (ends.empty()) continue;
        text +=
            (text.empty() ? "End bias: " : "; ") + escaped(geometry::bank_prefix(bank.name)) + ends;
    }
    return text.empty() ? text : text + ".";
}

const CylinderResult* find_cylinder(const PointResult& point, int number) {
    const auto found = std::find_if(point.cylinders.begin(),
                                    point.cylinders.end(),
                                    [number](const auto& c) { return c.cylinder == number; });
    return found == point.cylinders.end() ? nullptr : &*found;
}

}  // namespace plenair::html
