#include "geometry/cam.hpp"

#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair::geometry {

namespace {

constexpr double top = 2 * std::numbers::pi;  // TDC of gas exchange

double deg(double degrees) {
    return from_unit(degrees, "deg");
}

std::string in_deg(double angle) {
    return format_fixed(angle, "deg");
}

/// First and last crank angle at which the valve may be open [rad].
LiftEvents reach(const Valve& valve) {
    const bool measured = !valve.lift_angle.empty();
    const double first = measured ? valve.lift_angle.front() : 0.0;
    const double last = measured ? valve.lift_angle.back() : valve.closes - valve.opens;
    return {valve.opens + first - closing_ramp, valve.opens + last + closing_ramp};
}

/// Between an angle where the lift is below and one where it is not.
double crossing(const Valve& valve, double lift, double below, double above) {
    constexpr int halvings = 50;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (below + above);
        (valve.lift_at(middle) < lift ? below : above) = middle;
    }
    return above;
}

class CamCheck final {
public:
    CamCheck(const Engine& engine, const OutputUnits& units, std::vector<Finding>& findings)
        : engine_(engine), units_(units), findings_(findings) {}

    void run() {
        const bool intake = valve(engine_.intake, "intake");
        const bool exhaust = valve(engine_.exhaust, "exhaust");
        if (intake && exhaust) {
            overlap();
        }
    }

private:
    void error(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::error, key, 0, message});
    }
    void warn(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::warning, key, 0, message});
    }

    /// False where its events were refused.
    bool valve(const Valve& part, const std::string& name) {
        if (!(part.closes > part.opens) || !part.lift_angle.empty()) {
            return part.closes > part.opens;  // a measured curve needs no events
        }
        const std::string key = "valve." + name;
        if (!duration(part, name, key)) {
            return false;
        }
        lobe(part, name, key);
        lift(part, name, key);
        return true;
    }

    bool duration(const Valve& part, const std::string& name, const std::string& key) {
        const double open = part.closes - part.opens;
        if (open < deg(120) || open > deg(420)) {
            error(key + ".closes",
                  name + " duration: the valve is open for " + in_deg(open) + " from " +
                      event(part.opens, name) + " to " + event(part.closes, name) +
                      ", which no four-stroke cam is (120-420 deg)" + remedy(part, name));
            return false;
        }
        if (open < deg(150) || open > deg(360)) {
            warn(key + ".opens",
                 name + " duration: the valve is open for " + in_deg(open) +
                     ", outside the usual 150-360 deg; check the dead centres");
        }
        return true;
    }

    [[nodiscard]] static std::string event(double angle, const std::string& name) {
        return format_quantity(
            angle, name == "intake" ? Dimension::intake_event : Dimension::exhaust_event);
    }

    /// The same events about the other dead centre, where that makes a usual duration.
    [[nodiscard]] static std::string remedy(const Valve& part, const std::string& name) {
        const double bottom = name == "intake" ? 3 * std::numbers::pi : std::numbers::pi;
        const auto other = [bottom](double angle) {
            const bool at_top = std::abs(angle - top) < std::abs(angle - bottom);
            return at_top ? angle - top + bottom : angle - bottom + top;
        };
        const auto usual = [](double opens, double closes) {
            return closes - opens > deg(180) && closes - opens < deg(340);
        };
        if (usual(part.opens, other(part.closes))) {
            return "; is \"" + event(other(part.closes), name) + "\" meant for closes?";
        }
        if (usual(other(part.opens), part.closes)) {
            return "; is \"" + event(other(part.opens), name) + "\" meant for opens?";
        }
        return "; check BTDC, ATDC, BBDC, ABDC and the angles";
    }

    void lobe(const Valve& part, const std::string& name, const std::string& key) {
        const double middle = 0.5 * (part.opens + part.closes) - top;
        const bool intake = name == "intake";
        const double from_top = intake ? middle : -middle;
        const std::string place = name + " lobe: the middle of the events stands " +
                                  in_deg(std::abs(from_top)) + (middle < 0 ? " before" : " after") +
                                  " TDC of gas exchange";
        if (from_top < deg(30) || from_top > deg(190)) {
            error(key + ".opens",
                  place + ", which is no " + (intake ? "intake" : "exhaust") +
                      " stroke; check BTDC, ATDC, BBDC, ABDC");
        } else if (from_top < deg(75) || from_top > deg(150)) {
            warn(key + ".opens",
                 place + ", usual is 75-150 deg " + (intake ? "after" : "before") +
                     " it; check the events");
        }
    }

    void lift(const Valve& part, const std::string& name, const std::string& key) {
        if (!(part.lift > part.checking_lift) || !(part.head > 0)) {
            return;  // reported elsewhere
        }
        if (part.checking_lift > 0.25 * part.lift) {
            warn(key + ".checking_lift",
                 name + " checking lift is " +
                     format_number(100 * part.checking_lift / part.lift, 3) +
                     " % of the largest lift; events are usually stated near the seat");
        }
        const double over = part.lift / part.head;
        if (over > 0.5) {
            warn(key + ".lift",
                 name + " lift is " + format_number(over, 3) +
                     " of the head diameter, above one half; beyond a quarter the throat limits "
                     "the air; check lift and head");
        }
        // Steepest slope of the 4-5-6-7 half-lift: 35/16 of the mean.
        constexpr double steepest = 35.0 / 16;
        const double half = 0.5 * (part.closes - part.opens);
        const double slope = steepest * (part.lift - part.checking_lift) / half;  // m/rad
        const double in_heads = slope / part.head * deg(1);
        if (in_heads > 0.01) {
            warn(key + ".lift",
                 name + " lift against duration: " + format_length(part.lift, units_) + " within " +
                     in_deg(2 * half) + " lifts the valve by up to " +
                     format_number(100 * in_heads, 2) +
                     " % of its head a degree, usual is below 1 %; check lift and events");
        }
    }

    void overlap() {
        const auto& in = engine_.intake;
        const auto& out = engine_.exhaust;
        const double open = out.closes - in.opens;
        if (in.opens <= out.opens || in.closes <= out.closes) {
            error("valve.intake.opens",
                  in.opens <= out.opens
                      ? "the intake valve opens before the exhaust valve (" +
                            event(in.opens, "intake") + ", " + event(out.opens, "exhaust") +
                            "); check the events of both"
                      : "the intake valve closes before the exhaust valve (" +
                            event(in.closes, "intake") + ", " + event(out.closes, "exhaust") +
                            "); check the events of both");
        } else if (open > deg(130)) {
            warn("valve.intake.opens",
                 "overlap: both valves are open for " + in_deg(open) +
                     ", above the usual 130 deg; check the events of both valves");
        } else if (open < -deg(60)) {
            warn("valve.intake.opens",
                 "overlap: the intake valve opens " + in_deg(-open) +
                     " after the exhaust valve has closed; check the events of both valves");
        }
    }

    const Engine& engine_;
    const OutputUnits& units_;
    std::vector<Finding>& findings_;
};

}  // namespace

std::optional<LiftEvents> events_at(const Valve& valve, double lift) {
    // The curve is flat where it joins the ramp: there the events are those stated.
    constexpr double same = 1e-9;
    if (valve.lift_angle.empty() && valve.lift > lift &&
        std::abs(lift - valve.checking_lift) < same) {
        return LiftEvents{valve.opens, valve.closes};
    }
    const auto [from, to] = reach(valve);
    constexpr int steps_per_turn = 3600;
    const int steps = static_cast<int>(std::ceil((to - from) / (top / steps_per_turn)));
    const double step = (to - from) / steps;
    std::optional<int> first, last;
    for (int i = 0; i <= steps; ++i) {
        if (valve.lift_at(from + i * step) >= lift) {
            first = first.value_or(i);
            last = i;
        }
    }
    if (!first) {
        return std::nullopt;
    }
    const auto at = [begin = from, step](int i) { return begin + i * step; };
    return LiftEvents{*first > 0 ? crossing(valve, lift, at(*first - 1), at(*first)) : from,
                      *last < steps ? crossing(valve, lift, at(*last + 1), at(*last)) : to};
}

double angle_area(const Valve& valve) {
    const auto [from, to] = reach(valve);
    constexpr int steps = 2000;
    const double step = (to - from) / steps;
    double sum = 0;
    for (int i = 1; i < steps; ++i) {
        sum += valve.effective_area(from + i * step);
    }
    return sum * step;
}

void check_cams(const Engine& engine, const OutputUnits& units, std::vector<Finding>& findings) {
    CamCheck(engine, units, findings).run();
}

}  // namespace plenair::geometry
