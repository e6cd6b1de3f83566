#include "cases/study/sonic_words.hpp"

#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair::study {

namespace {

using SonicPart = SonicSection::Part;
using SonicPlace = SonicSection::Place;

constexpr double alike_angles = 3.0;  // beside a step: cylinders alike share a sentence [deg]

double crank_degrees(double angle) {
    return geometry::to_unit(angle, "deg");
}

std::string along_x(double x, const geometry::OutputUnits& units) {
    return geometry::format_as(x, "mm", 0, units);
}

/// "x 40 and 360 mm", the unit once.
std::string x_range(const SonicSection& s, const geometry::OutputUnits& units) {
    const std::string to = along_x(s.x_to, units);
    std::string from = along_x(s.x, units);
    from.erase(from.find(' '));
    return "x " + from + " and " + to;
}

/// Whether one sentence says both: runners or valves at the same place and angles.
bool alike(const SonicSection& a, const SonicSection& b, const geometry::OutputUnits& units) {
    const double near = alike_angles + crank_degrees(a.step);
    const auto close = [near](double x, double y) {
        return std::abs(crank_degrees(x - y)) <= near;
    };
    return a.cylinder > 0 && b.cylinder > 0 && a.part == b.part && a.place == b.place &&
           a.back == b.back && a.always == b.always && close(a.from, b.from) && close(a.to, b.to) &&
           along_x(a.x, units) == along_x(b.x, units);
}

/// "the slot", "runners 1 and 3", "the throttle at x = 0 of the left pre-chamber"
std::string sonic_part(const SonicSection& s,
                       const std::vector<int>& cylinders,
                       const geometry::OutputUnits& units) {
    const bool several = cylinders.size() > 1;
    switch (s.part) {
        case SonicPart::runner:
            return fmt::format("runner{} {}", several ? "s" : "", geometry::listed(cylinders));
        case SonicPart::valve:
            return fmt::format("the intake valve{} of {}",
                               several ? "s" : "",
                               geometry::cylinder_words(cylinders));
        case SonicPart::throttle:
            return s.place == SonicPlace::inside
                       ? fmt::format("the throttle in the side of the {} at x {}",
                                     s.chamber,
                                     along_x(s.x, units))
                       : fmt::format("the throttle at {} of the {}",
                                     s.place == SonicPlace::start ? geometry::start_name
                                                                  : geometry::end_name,
                                     s.chamber);
        case SonicPart::slot:
            return s.bank.empty() ? "the slot" : "the slot of " + geometry::bank_words(s.bank);
        case SonicPart::chamber:
            break;
    }
    return "the " + s.chamber;
}

/// "sonic at the mouth", "choked", "sonic between x 40 and 360 mm"
std::string sonic_state(const SonicSection& s, const geometry::OutputUnits& units) {
    const bool runner = s.part == SonicPart::runner;
    if (s.part == SonicPart::valve || s.part == SonicPart::throttle) return "choked";
    if (s.part == SonicPart::slot) return "sonic between " + x_range(s, units);
    if (s.place == SonicPlace::start) {
        return std::string("sonic at ") + (runner ? "the mouth" : geometry::start_name);
    }
    if (s.place == SonicPlace::end) {
        return std::string("sonic at ") + (runner ? "the valve end" : geometry::end_name);
    }
    return fmt::format("sonic {} from {}", along_x(s.x, units), runner ? "the mouth" : "x = 0");
}

std::string sonic_angles(const SonicSection& s, bool several) {
    if (s.always) return " over the whole cycle";
    return fmt::format(" from {:.0f} to {:.0f} deg after {}{}",
                       crank_degrees(s.from),
                       crank_degrees(s.to),
                       s.cylinder == 0 ? "firing TDC of cylinder 1"
                       : several       ? "their own firing TDC"
                                       : "its firing TDC",
                       s.again ? " and at other angles" : "");
}

}  // namespace

std::vector<std::string> sonic_words(const std::vector<SonicSection>& sections,
                                     const geometry::OutputUnits& units) {
    std::vector<std::string> text;
    std::vector<bool> told(sections.size(), false);
    for (std::size_t i = 0; i < sections.size(); ++i) {
        if (told[i]) continue;
        const SonicSection& s = sections[i];
        std::vector<int> cylinders;
        double least = s.share, most = s.share;
        for (std::size_t j = i; j < sections.size() && s.cylinder > 0; ++j) {
            if (told[j] || !alike(s, sections[j], units)) continue;
            told[j] = true;
            cylinders.push_back(sections[j].cylinder);
            least = std::min(least, sections[j].share);
            most = std::max(most, sections[j].share);
        }
        std::sort(cylinders.begin(), cylinders.end());
        const bool several = cylinders.size() > 1;
        const std::string low = fmt::format("{:.0f}", 100 * least),
                          high = fmt::format("{:.0f}", 100 * most);
        text.push_back(fmt::format("{} {} {}{}{}, with {} % of what passes there",
                                   sonic_part(s, cylinders, units),
                                   several ? "are" : "is",
                                   sonic_state(s, units),
                                   s.back ? " while gas blows back" : "",
                                   sonic_angles(s, several),
                                   low == high ? low : low + " to " + high));
    }
    return text;
}

void add_sonic_notes(const geometry::OutputUnits& units, PointResult& point) {
    for (auto& sentence : sonic_words(point.sonic, units)) {
        point.notes.push_back(std::move(sentence));
    }
}

}  // namespace plenair::study
