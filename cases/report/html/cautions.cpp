#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/lid_force.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace plenair::html {

namespace {

using geometry::to_unit;

// Standard gravity, only to print the force as a weight (ISO 80000-4).
constexpr double gravity = 9.80665;

std::string lid_text(const Sources& sources) {
    std::optional<LidForce> lid;
    geometry::OutputUnits units;
    for (const auto& source : sources) {
        if (!source.design) continue;
        const auto one = lid_force(*source.design);
        if (one && (!lid || one->force > lid->force)) {
            lid = one;
            units = source.design->units;
        }
    }
    if (!lid) {
        return "No point of this report stands above the barometer, yet a backfire can raise any "
               "plenum to many times that. ";
    }
    const auto length = geometry::format_as(lid->length, "mm", 0, units);
    return fmt::format(
        "{} {} x {} at {:.0f} kPa g carries <strong>{:.1f} kN ({:.0f} kgf)</strong>. ",
        lid->width_stated ? "A lid of" : "A plenum whose side, as a round section, measures",
        length.substr(0, length.find(' ')),
        geometry::format_as(lid->width, "mm", 0, units),
        to_unit(lid->gauge_pressure, "kPa"),
        lid->force / 1000,
        lid->force / gravity);
}

bool has_nitrous(const Sources& sources) {
    return std::any_of(sources.begin(), sources.end(), [](const auto& source) {
        return source.design && source.design->nitrous;
    });
}

std::string nitrous(const Sources& sources) {
    const std::string text =
        "Nitrous is an oxidiser under high pressure; it burns by cold and displaces the air one "
        "breathes. Keep bottles below 52 &deg;C, secured and ventilated, with the relief device "
        "led "
        "outside; never oil or grease. Fuel must come with it: losing one fuel line leans that "
        "cylinder at once. Follow gas-trade practice and local law.";
    return has_nitrous(sources) ? text : "This case has none. " + text;
}

std::string item(const char* head, const std::string& text) {
    return fmt::format("<div><dt>{}</dt><dd>{}</dd></div>\n", head, text);
}

}  // namespace

std::string cautions_section(const Sources& sources) {
    std::string text = "<dl class=\"cautions\">\n";
    text += item("Fuel",
                 "Liquid and vapour burn. Ventilate, keep ignition sources away, have the right "
                 "extinguisher at hand, pressure-test lines, and check that seals stand the fuel "
                 "(alcohol). Local codes and qualified people decide on fuel systems.");
    text +=
        item("Lean running",
             "Predicted trims are a starting point. A cylinder leaner than its target under load "
             "can fail in seconds. Come from the rich side, at low load first, with lambda and "
             "knock of each cylinder watched; stop on any disagreement. Whoever calibrates the "
             "engine answers for it.");
    text +=
        item("Pressure",
             "A plenum under boost stores energy. " + lid_text(sources) +
                 "A backfire can exceed the working pressure many times. Strength, welds, burst "
                 "provision and proof test are for a competent, where required licensed, person "
                 "under local rules: test with liquid, never with gas, and nobody in line with "
                 "the lid.");
    text += item("Machining",
                 "Chips, burrs and loose fasteners go into the engine: deburr, wash and inspect "
                 "every part before it runs. Clamp, guard and cut as the shop's rules and the "
                 "machine's maker ask.");
    text += item("Nitrous", nitrous(sources));
    text +=
        item("Running",
             "Hot and rotating parts, noise, carbon monoxide in closed rooms: protect eyes, ears "
             "and lungs. Afloat: flame arrester, bilge ventilation and class rules.");
    text += "</dl>\n";
    text += paragraph(
        "<strong>This is a calculation, not an approval.</strong> Local codes, event rules, "
        "insurers "
        "and licensed professionals decide.",
        "careful");
    return section("cautions", "Cautions", text);
}

}  // namespace plenair::html
