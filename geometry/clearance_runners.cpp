#include "geometry/clearance.hpp"
#include "geometry/elementary.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace plenair::geometry {

namespace {

/// Slack for positions that were typed with four digits [m].
constexpr double typed_slack = 1e-9;
/// Part of the room across a plenum that rounded sizes may exceed it by: drawings round each of
/// three to half a millimetre.
constexpr double rounded_room = 0.01;
/// Share of the bell radius that its outer diameter must hold: the arc has turned by 84 deg there.
constexpr double full_arc = 0.9;
/// A quarter millimetre less is what sizes that are rounded to half a millimetre take [m].
constexpr double rounded_size = 2.5e-4;

/// Collects the findings on the runners of one bank.
class RunnerCheck final {
public:
    RunnerCheck(const Bank& bank,
                std::size_t index,
                const OutputUnits& units,
                std::vector<Finding>& findings)
        : bank_(bank), index_(index), units_(units), findings_(findings) {}

    void run() {
        for (std::size_t i = 0; i < bank_.runners.size(); ++i) {
            const bool sound = runner(bank_.runners[i], i);
            if (bank_.plenum) {
                in_plenum(bank_.runners[i], *bank_.plenum, label(i), sound);
            }
        }
        say_shared();
        neighbours();
        if (!bank_.cylinders.empty() && bank_.cylinders.size() != bank_.runners.size()) {
            error("bank.cylinders",
                  std::to_string(bank_.cylinders.size()) + " cylinders but " +
                      std::to_string(bank_.runners.size()) +
                      " runners; state one runner per cylinder");
        }
    }

private:
    [[nodiscard]] std::string mm(double value) const { return format_as(value, "mm", 1, units_); }
    [[nodiscard]] std::string mm2(double value) const { return format_as(value, "mm2", 0, units_); }
    void error(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::error, key, index_, message});
    }
    void warn(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::warning, key, index_, message});
    }
    /// A runner has the number of its cylinder where it has one.
    [[nodiscard]] std::string number(std::size_t i) const {
        const bool numbered = bank_.cylinders.size() == bank_.runners.size();
        return std::to_string(numbered ? bank_.cylinders[i] : static_cast<int>(i) + 1);
    }
    [[nodiscard]] std::string label(std::size_t i) const { return "runner " + number(i); }

    /// A finding that is said once for all runners that have it.
    void share(Severity severity, const std::string& key, std::size_t i, const std::string& text) {
        for (auto& each : shared_) {
            if (each.severity == severity && each.key == key && each.text == text) {
                each.numbers += ", " + number(i);
                each.several = true;
                return;
            }
        }
        shared_.push_back({severity, key, text, number(i)});
    }
    void say_shared() {
        for (const auto& each : shared_) {
            findings_.push_back(
                {each.severity,
                 each.key,
                 index_,
                 (each.several ? "runners " : "runner ") + each.numbers + ": " + each.text});
        }
    }

    /// @return whether its mouth is no fault by itself, so that its room may be judged
    bool runner(const Runner& part, std::size_t i) {
        const std::string name = label(i);
        if (!(part.length > 0)) {
            error("runner.length", name + " length " + mm(part.length) + "; must be above 0");
        }
        if (part.port_length < 0 || part.port_length > part.length) {
            error("runner.port_length",
                  name + " port length " + mm(part.port_length) + " exceeds the whole length of " +
                      mm(part.length) + ", which includes the port; correct one");
        }
        if (part.diameter.empty() || !(part.diameter.smallest() > 0)) {
            error("runner.diameter", name + " diameter must be above 0 everywhere");
            return false;
        }
        if (!bell(part, i)) {
            return false;
        }
        across(part, i);
        const double mouth = part.mouth_diameter();
        if (part.wall_clearance && *part.wall_clearance < mouth) {
            warn("runner.wall_clearance",
                 name + " bell clearance " + mm(*part.wall_clearance) +
                     " is below one mouth diameter, " + mm(mouth) +
                     "; the wall chokes the entry and the entry loss is too low");
        }
        return true;
    }

    /// The bell's outer diameter against the mouth and the radius that it must hold.
    /// @return false where the mouth is wider than its bell
    bool bell(const Runner& part, std::size_t i) {
        if (!part.bell_outer_diameter) {
            return true;
        }
        const double mouth = part.mouth_diameter();
        const double outer = *part.bell_outer_diameter;
        const double full = mouth + 2 * part.bell_radius;
        if (outer < mouth) {
            if (part.wall_clearance && *part.wall_clearance < mouth) {  // It is not the bell.
                share(Severity::error,
                      "runner.diameter",
                      i,
                      "mouth diameter " + mm(mouth) + " exceeds the bell outer diameter of " +
                          mm(outer) + " and the bell clearance of " + mm(*part.wall_clearance) +
                          "; make the mouth at most " +
                          mm(std::max(outer - 2 * part.bell_radius, 0.0)) +
                          ", or enlarge the bell and its room");
            } else {
                share(Severity::error,
                      "runner.bell_outer_diameter",
                      i,
                      "bell outer diameter " + mm(outer) + " is below the mouth diameter of " +
                          mm(mouth) + "; make it at least " + mm(full) +
                          (part.bell_radius > 0 ? " (mouth and twice the bell radius)" : "") +
                          ", or the mouth smaller");
            }
            return false;
        }
        if (0.5 * (outer - mouth) < full_arc * part.bell_radius - rounded_size) {
            share(
                Severity::warning,
                "runner.bell_outer_diameter",
                i,
                "bell outer diameter " + mm(outer) + " cuts the bell radius of " +
                    mm(part.bell_radius) + " short: with a mouth of " + mm(mouth) +
                    " its arc ends at " + mm(full) +
                    "; the entry loss is that of the whole arc: make runner.bell_outer_diameter " +
                    mm(full) + ", or runner.bell_radius " + mm(0.5 * (outer - mouth)));
        }
        return true;
    }

    /// Floor to bell and bell to wall against the plenum's height, along the runner's axis.
    void across(const Runner& part, std::size_t i) {
        if (!bank_.plenum || (!part.protrusion && !part.wall_clearance)) {
            return;
        }
        const auto& plenum = *bank_.plenum;
        if (!plenum.height && (plenum.area.empty() || !(plenum.area.smallest() > 0))) {
            return;
        }
        const double high =
            plenum.height ? *plenum.height
                          : std::sqrt(4 * plenum.area.at(std::clamp(part.x, 0.0, plenum.length)) /
                                      std::numbers::pi);
        const double room = high / sin(part.angle);
        const double raised = part.protrusion.value_or(0);
        if (!part.wall_clearance && raised < room) {
            const double left = room - raised;
            if (plenum.height && left < part.mouth_diameter() - typed_slack) {
                share(Severity::warning,
                      "runner.protrusion",
                      i,
                      "protrusion " + mm(raised) + " under plenum.height " + mm(high) +
                          " leaves a bell clearance of " + mm(left) +
                          ", below one mouth diameter, " + mm(part.mouth_diameter()) +
                          "; the wall chokes the entry and the entry loss is too low");
            }
            return;
        }
        const double clear = part.wall_clearance.value_or(0);
        if (part.wall_clearance && raised + clear <= room * (1 + rounded_room)) {
            return;
        }
        too_high(part, i, raised, clear, room);
    }

    /// Says that the bell and its clearance do not fit under the opposite wall, and what would.
    void too_high(const Runner& part, std::size_t i, double raised, double clear, double room) {
        std::string found = clear > 0 ? "bell clearance " + mm(clear) : std::string{};
        if (raised > 0) {
            found = "protrusion " + mm(raised) + (clear > 0 ? " and " + found : std::string{});
        }
        if (raised > 0 && clear > 0) {
            found += ", together " + mm(raised + clear) + ",";
        }
        const bool both = raised > 0 && clear > 0;
        std::string wall = bank_.plenum->height
                               ? std::string("plenum.height")
                               : std::string("the plenum as a circle of its section");
        if (std::abs(sin(part.angle) - 1) > 1e-6) {
            wall += " along the runner's axis";
        }
        std::vector<std::string> remedies;
        if (clear > 0 && room - raised > typed_slack) {
            remedies.push_back("make runner.wall_clearance at most " + mm(room - raised));
        }
        if (raised > 0 && room - clear > typed_slack) {
            remedies.push_back("make runner.protrusion " + (clear > 0
                                                                ? "at most " + mm(room - clear)
                                                                : std::string("smaller")));
        }
        remedies.push_back(bank_.plenum->height ? "raise plenum.height"
                                                : "enlarge plenum.area or state plenum.height");
        std::string mend = remedies.front();
        for (std::size_t k = 1; k < remedies.size(); ++k) {
            mend += (k + 1 == remedies.size() ? " or " : ", ") + remedies[k];
        }
        const bool lower = clear > 0 && room - raised > typed_slack;
        // A bell through the wall is no part; a clearance that was measured otherwise may be.
        const bool through = bank_.plenum->height && raised >= room - typed_slack;
        share(through ? Severity::error : Severity::warning,
              lower ? "runner.wall_clearance" : "runner.protrusion",
              i,
              found + (both ? " exceed " : " exceeds ") + wall + ", " + mm(room) + "; " + mend);
    }

    void in_plenum(const Runner& part, const Chamber& plenum, const std::string& name, bool sound) {
        if (part.x < -typed_slack || part.x > plenum.length + typed_slack) {
            error("runner.x",
                  name + " at x " + mm(part.x) + " lies outside " + "plenum 0-" +
                      format_length(plenum.length, units_) + "; move it or lengthen plenum.length");
            return;
        }
        if (!sound) {
            return;
        }
        const double mouth = part.mouth_diameter();
        const double gap = end_clearance(part, plenum);
        if (gap < 0) {
            warn("runner.x",
                 name + " at x " + mm(part.x) + " reaches " + mm(-gap) +
                     " past the end wall; move it or lengthen plenum.length");
        } else if (gap < 0.5 * mouth) {
            warn("runner.x",
                 name + " end clearance " + mm(gap) + " is below half a mouth diameter, " +
                     mm(0.5 * mouth) + "; the end wall disturbs the entry");
        }
        if (!plenum.area.empty() && part.mouth_area() > plenum.area.at(part.x)) {
            warn("runner.diameter",
                 name + " mouth area " + mm2(part.mouth_area()) +
                     " exceeds the plenum section of " + mm2(plenum.area.at(part.x)) +
                     " there; the plenum is not a plenum");
        }
    }

    /// Neighbours along x: bores and bells that overlap. Mouths at one x stand on opposite sides.
    void neighbours() {
        std::vector<std::size_t> order(bank_.runners.size());
        for (std::size_t i = 0; i < order.size(); ++i) {
            order[i] = i;
        }
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return bank_.runners[a].x < bank_.runners[b].x;
        });
        for (std::size_t i = 1; i < order.size(); ++i) {
            pair(order[i - 1], order[i]);
        }
    }

    void pair(std::size_t first, std::size_t second) {
        const auto& a = bank_.runners[first];
        const auto& b = bank_.runners[second];
        const double pitch = b.x - a.x;
        if (pitch <= typed_slack || a.diameter.empty() || b.diameter.empty()) {
            return;
        }
        const std::string names = label(first) + " and " + label(second);
        const double bores = 0.5 * (a.mouth_diameter() + b.mouth_diameter());
        if (bores > pitch + typed_slack) {
            warn("runner.x",
                 "mouths of " + names + " overlap by " + mm(bores - pitch) + " at a pitch of " +
                     mm(pitch) + "; move them apart");
            return;
        }
        if (!a.bell_outer_diameter || !b.bell_outer_diameter) {
            return;
        }
        const double bells = 0.5 * (*a.bell_outer_diameter + *b.bell_outer_diameter);
        if (bells > pitch + typed_slack) {
            warn("runner.bell_outer_diameter",
                 "bell outer diameter " + mm(bells) + " of " + names + " exceeds their pitch of " +
                     mm(pitch) + ": overlap " + mm(bells - pitch) +
                     "; make it smaller or move them apart");
        }
    }

    struct Shared {
        Severity severity;
        std::string key, text, numbers;
        bool several = false;
    };

    const Bank& bank_;
    std::size_t index_;
    const OutputUnits& units_;
    std::vector<Finding>& findings_;
    std::vector<Shared> shared_;
};

/// Mean distance of neighbouring mouths whose cylinders stand next to each other in their bank; the
/// numbering is no sign of that, so all mouths of a bank in the order of x.
double mean_spacing(const Bank& bank) {
    std::vector<double> x;
    for (const auto& runner : bank.runners) {
        x.push_back(runner.x);
    }
    std::sort(x.begin(), x.end());
    return x.size() < 2 ? 0 : (x.back() - x.front()) / static_cast<double>(x.size() - 1);
}

}  // namespace

std::vector<Finding> check_fit(const Intake& intake,
                               const Engine& engine,
                               const OutputUnits& units) {
    // Runners bend a little; a tenth is more than a flange hides (common practice).
    constexpr double usual = 0.1;
    std::vector<Finding> findings;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        const double spacing = mean_spacing(intake.banks[i]);
        if (spacing > 0 && engine.pitch > 0 &&
            std::abs(spacing - engine.pitch) > usual * engine.pitch) {
            findings.push_back(
                {Severity::warning,
                 "runner.x",
                 i,
                 "mouths stand " + format_as(spacing, "mm", 1, units) +
                     " apart on average, cylinders " + format_as(engine.pitch, "mm", 1, units) +
                     " (engine.pitch); check runner.x, or bend the runners and count their bends "
                     "(runner.bend_loss)"});
        }
    }
    return findings;
}

double end_clearance(const Runner& runner, const Chamber& plenum) {
    return std::min(runner.x, plenum.length - runner.x) - 0.5 * runner.mouth_diameter();
}

void check_runners(const Bank& bank,
                   std::size_t index,
                   const OutputUnits& units,
                   std::vector<Finding>& findings) {
    RunnerCheck(bank, index, units, findings).run();
}

}  // namespace plenair::geometry
