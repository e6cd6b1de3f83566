#include "cases/study/trim_parts.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace plenair::study {

namespace {

// Lambda by which a cylinder may be leaner than its target before it is called a danger, and by
// which two cylinders can be told apart by a sensor (working practice, from memory).
constexpr double danger_margin = 0.03;
constexpr double sensor_margin = 0.005;
constexpr double large_trim = 0.10;

std::string percent1(double ratio) {
    return fmt::format("{:.1f} %", 100.0 * ratio);
}

/// A limit as it was given: "85 %", "82.5 %".
std::string limit_text(double ratio) {
    return geometry::format_in(ratio, "%", 4) + " %";
}

/// Duty of a stage at a cylinder that is over the limit, in words; empty where it is not.
std::string over_limit(const TrimPoint& point,
                       const CylinderTrim& t,
                       const char* stage,
                       const StageDuty& before,
                       const StageDuty& after,
                       double limit) {
    if (!before.over && !after.over) {
        return "";
    }
    const bool impossible = std::max(before.commanded, after.commanded) > 1.0;
    return fmt::format(
        "{}: cylinder {}, {} stage: commanded duty {} before trim, {} after, over {}; {}",
        point.name,
        t.cylinder,
        stage,
        percent1(before.commanded),
        percent1(after.commanded),
        limit_text(limit),
        impossible ? "the cycle is not long enough, the cylinder would run lean: less load, larger "
                     "injectors or more fuel pressure"
                   : "less load, larger injectors or more fuel pressure");
}

/// While the second stage rests the first one must not be over its limit: the rule is at fault.
std::string staging_fault(const TrimPoint& point, const Injection& injection) {
    if (!injection.secondary || point.second_stage_ratio > 0.0) {
        return "";
    }
    const auto highest = [](const CylinderTrim& t) {
        return std::max(t.duty_untrimmed->primary.commanded, t.duty_trimmed->primary.commanded);
    };
    const auto worst = std::max_element(
        point.cylinders.begin(), point.cylinders.end(), [&](const auto& a, const auto& b) {
            return highest(a) < highest(b);
        });
    if (!worst->duty_untrimmed->primary.over && !worst->duty_trimmed->primary.over) {
        return "";
    }
    return fmt::format(
        "{}: cylinder {}, primary stage: commanded duty {} is over {} while the second stage rests "
        "(plenum {}, {:.0f} rpm; it adds from {} and {:.0f} rpm); lower injector.staging_pressure "
        "or injector.staging_speed",
        point.name,
        worst->cylinder,
        percent1(highest(*worst)),
        limit_text(injection.primary.duty_limit),
        kpa_abs(point.plenum_pressure),
        rpm(point.speed),
        kpa_abs(injection.staging_pressure),
        rpm(injection.staging_speed));
}

void add_duty_findings(TrimResult& result, const TrimPoint& point) {
    const auto add = [](std::vector<std::string>& to, const std::string& text) {
        if (!text.empty()) {
            to.push_back(text);
        }
    };
    const auto& injection = *result.injection;
    const std::string fault = staging_fault(point, injection);
    add(result.errors, fault);
    for (const auto& t : point.cylinders) {
        if (fault.empty()) {
            add(result.warnings,
                over_limit(point,
                           t,
                           "primary",
                           t.duty_untrimmed->primary,
                           t.duty_trimmed->primary,
                           injection.primary.duty_limit));
        }
        if (injection.secondary) {
            add(result.warnings,
                over_limit(point,
                           t,
                           "secondary",
                           t.duty_untrimmed->secondary,
                           t.duty_trimmed->secondary,
                           injection.secondary->duty_limit));
        }
    }
}

void add_point_findings(TrimResult& result, const TrimPoint& point) {
    if (point.lean_margin > danger_margin) {
        const auto leanest = leanest_of(point);
        result.warnings.push_back(
            fmt::format("{}: {} {} {:.3f} leaner than {} target on equal fuel",
                        point.name,
                        geometry::cylinder_words(leanest),
                        leanest.size() == 1 ? "is" : "are",
                        point.lean_margin,
                        leanest.size() == 1 ? "its" : "their"));
    }
    for (const auto& t : point.cylinders) {
        if (std::abs(t.trim) > large_trim + 1e-9) {
            result.warnings.push_back(
                fmt::format("{}: trim {:+.1f} % of cylinder {} is beyond +/-10 %: look for the "
                            "cause before trimming it away",
                            point.name,
                            100.0 * t.trim,
                            t.cylinder));
        }
    }
    if (point.bias_band > 0.0 && point.spread <= point.bias_band) {
        result.warnings.push_back(fmt::format(
            "{}: spread {} is inside the band of the coefficients (+/-{}): these trims cannot be "
            "told from none",
            point.name,
            percent1(point.spread),
            percent1(point.bias_band)));
    }
}

/// One warning for each point whose trims, kept elsewhere, do harm.
void add_fixed_findings(TrimResult& result) {
    for (const auto& from : result.points) {
        std::string where;
        for (const auto& fixed : result.fixed) {
            if (fixed.from == from.name && fixed.at != from.name && fixed.worse) {
                where += fmt::format("{}{} ({} against {})",
                                     where.empty() ? "" : ", ",
                                     fixed.at,
                                     percent1(fixed.spread_fixed),
                                     percent1(fixed.spread_untrimmed));
            }
        }
        if (!where.empty()) {
            result.warnings.push_back(
                fmt::format("trims of {} kept everywhere leave more spread than no trim at {}: "
                            "trim over speed and load",
                            from.name,
                            where));
        }
    }
}

void add_speed_finding(TrimResult& result) {
    std::set<double> speeds;
    for (const auto& point : result.points) {
        speeds.insert(std::round(rpm(point.speed)));
    }
    const bool one_cylinder = std::all_of(result.points.begin(),
                                          result.points.end(),
                                          [](const auto& p) { return p.cylinders.size() < 2; });
    if (speeds.size() == 1 && !one_cylinder) {
        result.warnings.push_back(
            fmt::format("all points are at {:.0f} rpm: cannot interpolate over speed, and bias can "
                        "change its sign there; add a [[point]] at another speed",
                        *speeds.begin()));
    }
}

}  // namespace

double rpm(double speed) {
    return geometry::to_unit(speed, "rpm");
}

std::string kpa_abs(double pressure) {
    return fmt::format("{:.1f} kPa abs", geometry::to_unit(pressure, "kPa"));
}

std::vector<int> leanest_of(const TrimPoint& point) {
    std::vector<int> numbers;
    std::vector<double> biases;
    for (const auto& each : point.cylinders) {
        numbers.push_back(each.cylinder);
        biases.push_back(each.bias);
    }
    return most_air(numbers, biases);
}

std::string risk_of(const TrimPoint& point) {
    if (point.cylinders.size() == 1) {
        return "one cylinder gets all the air: there is nothing to trim against another";
    }
    const auto most = leanest_of(point);
    if (most.size() == point.cylinders.size()) {
        return "every cylinder gets the same air within 0.1 %: none is leaner than another";
    }
    const bool one = most.size() == 1;
    double largest = 0;
    for (const auto& each : point.cylinders) {
        largest = std::max(largest, each.bias);
    }
    if (largest < point.bias_band) {
        return fmt::format(
            "{} {} the most air, {:+.1f} %, inside the band of +/-{:.1f} %: none can be called the "
            "leanest",
            geometry::cylinder_words(most),
            one ? "gets" : "get",
            100 * largest,
            100 * point.bias_band);
    }
    const std::string text = fmt::format(
        "{} {} the leanest on equal fuel: lambda {:.3f} against {:.3f}, {:.3f} leaner; ",
        geometry::cylinder_words(most),
        one ? "gets the most air, so it is" : "get the most air, so they are",
        point.lambda + point.lean_margin,
        point.lambda,
        point.lean_margin);
    if (point.lean_margin > danger_margin) {
        return text + fmt::format(
                          "under load {0} can knock or overheat and fail in seconds, so "
                          "trim {1} before full load",
                          one ? "it" : "they",
                          one ? "it" : "them");
    }
    if (point.lean_margin > sensor_margin) {
        return text +
               (one ? "it runs hotter and nearer to knock than the others, so it decides how "
                      "much load the engine takes"
                    : "they run hotter and nearer to knock than the others, so they decide "
                      "how much load the engine takes");
    }
    return text + "less than a lambda sensor can tell";
}

void add_findings(TrimResult& result, bool alone) {
    for (const auto& point : result.points) {
        if (!point.issued) {
            continue;
        }
        add_point_findings(result, point);
        if (result.injection) {
            add_duty_findings(result, point);
        }
    }
    add_fixed_findings(result);
    if (!alone) {
        add_speed_finding(result);
    }
}

}  // namespace plenair::study
