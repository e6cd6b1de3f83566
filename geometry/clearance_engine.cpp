#include "geometry/cam.hpp"
#include "geometry/clearance.hpp"

#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>

namespace plenair::geometry {

namespace {

class EngineCheck final {
public:
    EngineCheck(const Engine& engine, const OutputUnits& units, std::vector<Finding>& findings)
        : engine_(engine), units_(units), findings_(findings) {}

    void run() {
        crank();
        order();
        valve(engine_.intake, "intake");
        valve(engine_.exhaust, "exhaust");
    }

private:
    [[nodiscard]] std::string mm(double value) const { return format_as(value, "mm", 1, units_); }
    void error(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::error, key, 0, message});
    }
    void warn(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::warning, key, 0, message});
    }

    void crank() {
        if (!(engine_.bore > 0) || !(engine_.stroke > 0)) {
            error(engine_.bore > 0 ? "engine.stroke" : "engine.bore",
                  "engine bore and stroke must be above 0");
            return;
        }
        if (!(engine_.rod > 0.5 * engine_.stroke)) {
            error("engine.rod",
                  "rod length " + mm(engine_.rod) + " is not above the crank radius of " +
                      mm(0.5 * engine_.stroke) + "; the crank cannot turn");
        } else if (engine_.rod < 1.2 * engine_.stroke) {
            warn("engine.rod",
                 "rod length " + mm(engine_.rod) + " is below 1.2 strokes, " +
                     mm(1.2 * engine_.stroke) + "; check that it is centre to centre");
        }
        if (!(engine_.compression_ratio > 1)) {
            error("engine.compression_ratio",
                  "compression ratio " + format_number(engine_.compression_ratio, 4) +
                      "; must be above 1");
        } else if (engine_.compression_ratio < 5 || engine_.compression_ratio > 20) {
            warn("engine.compression_ratio",
                 "compression ratio " + format_number(engine_.compression_ratio, 4) +
                     " is outside the usual 5-20");
        }
    }

    void order() {
        auto sorted = engine_.firing_order;
        std::sort(sorted.begin(), sorted.end());
        const bool twice = std::adjacent_find(sorted.begin(), sorted.end()) != sorted.end();
        if (sorted.empty() || sorted.front() < 1 || twice) {
            error("engine.firing_order",
                  "firing order must hold every cylinder once, numbered from 1");
        }
        const auto& angles = engine_.firing_angles;
        if (angles.size() != engine_.firing_order.size()) {
            error("engine.firing_angles",
                  std::to_string(angles.size()) + " firing angles for " +
                      std::to_string(engine_.firing_order.size()) + " cylinders; state one each");
            return;
        }
        const bool ascending =
            std::adjacent_find(angles.begin(), angles.end(), std::greater<>()) == angles.end();
        if (!ascending ||
            (!angles.empty() && angles.back() - angles.front() >= 4 * std::numbers::pi)) {
            error("engine.firing_angles", "firing angles must ascend within 720 deg");
        }
    }

    void valve(const Valve& part, const std::string& name) {
        const std::string key = "valve." + name;
        sizes(part, name, key);
        if (!(part.closes > part.opens) || part.closes - part.opens >= 4 * std::numbers::pi) {
            error(key + ".closes",
                  name + " valve closes before it opens; check the dead centres (BTDC, ABDC)");
        }
        table(part, name, key);
    }

    void sizes(const Valve& part, const std::string& name, const std::string& key) {
        if (part.count < 1) {
            error(key + ".count", "no " + name + " valve; state at least 1");
        }
        if (!(part.head > 2 * part.seat_width) || part.seat_width < 0) {
            error(key + ".head",
                  name + " valve head " + mm(part.head) + " is not above two seat widths of " +
                      mm(part.seat_width) + "; correct one");
        }
        if (!(part.throat > part.stem) || part.stem < 0) {
            error(key + ".stem",
                  name + " valve stem " + mm(part.stem) + " fills the throat of " +
                      mm(part.throat) + "; correct one");
        }
        if (part.seat_angle < 0 || part.seat_angle >= 0.5 * std::numbers::pi) {
            error(key + ".seat_angle",
                  name + " valve seat angle " + format_fixed(part.seat_angle, "deg") +
                      " is outside 0-90 deg");
        }
        if (!(part.lift > part.checking_lift) || part.checking_lift < 0) {
            error(key + ".lift",
                  name + " valve lift " + mm(part.lift) + " is not above its checking lift of " +
                      format_as(part.checking_lift, "mm", 2, units_) + "; correct one");
        }
        if (part.throat > part.head) {
            warn(key + ".throat",
                 name + " valve throat " + mm(part.throat) + " exceeds the head of " +
                     mm(part.head) + "; the valve cannot seal it");
        }
        if (engine_.bore > 0 && std::min(part.count, 2) * part.head > engine_.bore) {
            warn(key + ".head",
                 std::to_string(part.count) + " " + name + " valve(s) of " + mm(part.head) +
                     " do not fit side by side in a bore of " + mm(engine_.bore));
        }
    }

    void table(const Valve& part, const std::string& name, const std::string& key) {
        const auto& at = part.cd.abscissa;
        if (at.empty() || at.size() != part.cd.cd.size() ||
            std::adjacent_find(at.begin(), at.end(), std::greater_equal<>()) != at.end()) {
            error(key + ".cd",
                  name + " valve Cd table needs equal columns and ascending lift over diameter");
            return;
        }
        const double largest = *std::max_element(part.cd.cd.begin(), part.cd.cd.end());
        if (largest > 1) {
            warn(key + ".cd",
                 name + " valve Cd " + format_number(largest, 4) +
                     " exceeds 1; it refers to the curtain area");
        }
        const double reach = part.lift / part.head;
        if (reach > at.back() * (1 + 1e-9)) {
            warn(key + ".cd",
                 name + " valve Cd table ends at L/D " + format_number(at.back(), 3) +
                     ", the lift reaches " + format_number(reach, 3) +
                     "; the last coefficient is held there");
        }
    }

    const Engine& engine_;
    const OutputUnits& units_;
    std::vector<Finding>& findings_;
};

}  // namespace

std::vector<Finding> check_engine(const Engine& engine, const OutputUnits& units) {
    std::vector<Finding> findings;
    EngineCheck(engine, units, findings).run();
    check_cams(engine, units, findings);
    return findings;
}

}  // namespace plenair::geometry
