#include "geometry/clearance.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace plenair::geometry {

namespace {

/// Slack for positions that were typed with four digits [m].
constexpr double typed_slack = 1e-9;

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
            runner(bank_.runners[i], label(i));
            if (bank_.plenum) {
                in_plenum(bank_.runners[i], *bank_.plenum, label(i));
            }
        }
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
    /// A runner is named by its cylinder where it has one.
    [[nodiscard]] std::string label(std::size_t i) const {
        const bool numbered = bank_.cylinders.size() == bank_.runners.size();
        return "runner " + std::to_string(numbered ? bank_.cylinders[i] : static_cast<int>(i) + 1);
    }

    void runner(const Runner& part, const std::string& name) {
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
            return;
        }
        const double mouth = part.mouth_diameter();
        if (part.bell_outer_diameter && *part.bell_outer_diameter < mouth) {
            error("runner.bell_outer_diameter",
                  name + " bell outer diameter " + mm(*part.bell_outer_diameter) +
                      " is below the mouth diameter of " + mm(mouth) + "; correct one");
        }
        if (part.wall_clearance && *part.wall_clearance < mouth) {
            warn("runner.wall_clearance",
                 name + " bell clearance " + mm(*part.wall_clearance) +
                     " is below one mouth diameter, " + mm(mouth) +
                     "; the wall chokes the entry and the entry loss is too low");
        }
    }

    void in_plenum(const Runner& part, const Chamber& plenum, const std::string& name) {
        if (part.x < -typed_slack || part.x > plenum.length + typed_slack) {
            error("runner.x",
                  name + " at x " + mm(part.x) + " lies outside " + "plenum 0-" +
                      format_length(plenum.length, units_) + "; move it or lengthen plenum.length");
            return;
        }
        if (part.diameter.empty()) {
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

    const Bank& bank_;
    std::size_t index_;
    const OutputUnits& units_;
    std::vector<Finding>& findings_;
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
