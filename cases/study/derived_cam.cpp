#include "cases/study/derived.hpp"
#include "geometry/cam.hpp"

#include <algorithm>
#include <array>
#include <numbers>
#include <string>

namespace plenair::study {

namespace {

/// Names of geometry::card_lifts in keys and words, of a case of inches too.
struct LiftName {
    const char* key;
    const char* words;
    const char* inch_words;
};
constexpr std::array<LiftName, geometry::card_lifts.size()> names{{
    {"0_10mm", "0.1 mm", "0.0039 in (0.1 mm)"},
    {"1_00mm", "1 mm", "0.0394 in (1 mm)"},
    {"1_27mm", "1.27 mm (0.050 in)", "0.050 in (1.27 mm)"},
}};

}  // namespace

void add_cam_card(const geometry::Engine& engine,
                  const geometry::OutputUnits& units,
                  Sheet& sheet) {
    constexpr double top = 2 * std::numbers::pi;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto in = geometry::events_at(engine.intake, geometry::card_lifts[i]);
        const auto out = geometry::events_at(engine.exhaust, geometry::card_lifts[i]);
        const std::string at =
            std::string(" at ") + (units.inches() ? names[i].inch_words : names[i].words);
        const auto key = [&](const std::string& name) {
            return "cam." + name + "_" + names[i].key;
        };
        if (in) {
            sheet.add(
                key("intake_opens"), "intake opens" + at + ", before TDC", "rad", top - in->opens);
            sheet.add(key("intake_closes"),
                      "intake closes" + at + ", after BDC",
                      "rad",
                      in->closes - top - std::numbers::pi);
            sheet.add(key("intake_duration"), "intake duration" + at, "rad", in->duration());
            sheet.add(key("intake_centreline"),
                      "intake centreline" + at + ", after TDC",
                      "rad",
                      in->middle() - top);
        }
        if (out) {
            sheet.add(key("exhaust_opens"),
                      "exhaust opens" + at + ", before BDC",
                      "rad",
                      std::numbers::pi - out->opens);
            sheet.add(key("exhaust_closes"),
                      "exhaust closes" + at + ", after TDC",
                      "rad",
                      out->closes - top);
            sheet.add(key("exhaust_duration"), "exhaust duration" + at, "rad", out->duration());
            sheet.add(key("exhaust_centreline"),
                      "exhaust centreline" + at + ", before TDC",
                      "rad",
                      top - out->middle());
        }
        if (in && out) {
            sheet.add(key("overlap"), "overlap" + at, "rad", out->closes - in->opens);
        }
    }
}

}  // namespace plenair::study
