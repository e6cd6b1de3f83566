#include "cases/study/check.hpp"
#include "cases/study/case.hpp"
#include "cases/study/derived.hpp"
#include "geometry/clearance.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <cstddef>
#include <numbers>

namespace plenair {

namespace {

using geometry::Severity;

/// Adds a warning that the case file's reader has not already given, with its place.
void add_warning(CheckResult& result, const std::string& key, const std::string& message) {
    const bool known =
        std::any_of(result.warnings.begin(), result.warnings.end(), [&](const auto& warning) {
            return warning.find(message) != std::string::npos;
        });
    if (!known) {
        result.warnings.push_back(key + ": " + message);
    }
}

void add_findings(CheckResult& result, const Case& c) {
    auto findings = geometry::check_intake(c.intake, c.units);
    if (c.has_engine) {
        const auto engine = geometry::check_engine(c.engine, c.units);
        findings.insert(findings.begin(), engine.begin(), engine.end());
        const auto fit = geometry::check_fit(c.intake, c.engine, c.units);
        findings.insert(findings.end(), fit.begin(), fit.end());
    }
    std::vector<std::string> errors;
    for (const auto& finding : findings) {
        if (finding.severity == Severity::error) {
            errors.push_back(finding.key + ": " + finding.message);
        } else {
            add_warning(result, finding.key, finding.message);
        }
    }
    if (!errors.empty()) {
        throw InputError(errors);
    }
}

void warn_of_header(CheckResult& result, const Case& c) {
    for (std::size_t i = 0; i < c.intake.banks.size(); ++i) {
        const auto& bank = c.intake.banks[i];
        if (!bank.pre_chamber || !bank.slot) {
            continue;
        }
        const auto header = study::header(bank, c.model);
        if (header.number > 0.5 * std::numbers::pi) {
            add_warning(result,
                        "slot.width",
                        geometry::bank_prefix(geometry::bank_name(c.intake, i)) +
                            "header number m = " + geometry::format_number(header.number, 4) +
                            " exceeds pi/2: on a steady bench air flows back through the slot near "
                            "the feed; "
                            "narrow the slot or enlarge pre_chamber.area");
        }
    }
}

/// Plate angles of the points against the throttle and its table.
void warn_of_plate(CheckResult& result, const Case& c) {
    for (const auto& point : c.points) {
        if (!point.throttle_angle) {
            continue;
        }
        const double angle = *point.throttle_angle;
        const std::string where =
            "point " + point.name + " plate angle " + geometry::format_fixed(angle, "deg");
        for (const auto& bank : c.intake.banks) {
            for (const auto& throttle : bank.throttles) {
                if (angle <= throttle.closed_angle) {
                    add_warning(result,
                                "point.throttle_angle",
                                where + " is not above the closed stop at " +
                                    geometry::format_fixed(throttle.closed_angle, "deg") +
                                    ": no air passes; open it");
                }
                if (throttle.cd_table && !throttle.cd_table->abscissa.empty() &&
                    (angle < throttle.cd_table->abscissa.front() ||
                     angle > throttle.cd_table->abscissa.back())) {
                    add_warning(result,
                                "throttle.cd_table",
                                where + " lies outside the Cd table; its end value is held there");
                }
            }
        }
    }
}

/// Tables that end before the plate hides behind its shaft, where a plate stands wide open.
void warn_of_table_ends(CheckResult& result, const Case& c) {
    const auto open = [](const OperatingPoint& point) { return !point.throttle_angle; };
    if (!c.points.empty() && std::none_of(c.points.begin(), c.points.end(), open)) {
        return;
    }
    for (const auto& bank : c.intake.banks) {
        for (const auto& throttle : bank.throttles) {
            if (!throttle.cd_table || throttle.cd_table->abscissa.empty()) {
                continue;
            }
            const double last = throttle.cd_table->abscissa.back();
            // A hundredth of the area is less than the coefficient is known.
            if (throttle.open_area(last) < 0.99 * throttle.wide_open_area()) {
                add_warning(result,
                            "throttle.cd_table",
                            "the Cd table ends at " + geometry::format_fixed(last, "deg") +
                                ", where the plate is not wide open yet; its end value is held "
                                "wide open: measure on to there, or state point.throttle_angle");
            }
        }
    }
}

/// Swept volume of the cylinders that a bank feeds [m3].
double swept_by(const geometry::Bank& bank, const Case& c) {
    if (!c.has_engine) {
        return 0;
    }
    const auto cylinders = bank.cylinders.empty() ? bank.runners.size() : bank.cylinders.size();
    return static_cast<double>(cylinders) * c.engine.swept_volume();
}

}  // namespace

CheckResult check(const Case& c) {
    CheckResult result{c.title, c.digest, {}, c.warnings, c.echo, c.assumed, c.units};
    add_findings(result, c);
    if (c.has_engine) {
        study::Sheet sheet(result.numbers, "");
        study::add_engine(c.engine, sheet);
        study::add_cam_card(c.engine, c.units, sheet);
    }
    for (std::size_t i = 0; i < c.intake.banks.size(); ++i) {
        study::Sheet sheet(result.numbers,
                           geometry::entry_prefix(c.intake, i),
                           geometry::bank_words(geometry::bank_name(c.intake, i)));
        study::add_bank(c.intake.banks[i], c.model, swept_by(c.intake.banks[i], c), sheet);
    }
    if (c.has_engine) {
        study::Sheet sheet(result.numbers, "");
        sheet.add("resonance.temperature",
                  c.points.empty()
                      ? "temperature of the air for the resonances, no point is given"
                      : "temperature of the air for the resonances, mean of the points",
                  "K",
                  study::resonance_temperature(c));
        for (std::size_t i = 0; i < c.intake.banks.size(); ++i) {
            study::Sheet of_bank(result.numbers,
                                 geometry::entry_prefix(c.intake, i),
                                 geometry::bank_words(geometry::bank_name(c.intake, i)));
            study::add_resonances(c.intake.banks[i], c, of_bank);
        }
    }
    warn_of_header(result, c);
    warn_of_plate(result, c);
    warn_of_table_ends(result, c);
    return result;
}

}  // namespace plenair
