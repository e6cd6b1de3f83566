#include "geometry/clearance.hpp"

#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace plenair::geometry {

namespace {

/// Slack for positions that were typed with four digits [m].
constexpr double slack = 1e-9;

/// Collects the findings of one bank.
class BankCheck final {
public:
    BankCheck(const Bank& bank,
              std::size_t index,
              const OutputUnits& units,
              std::vector<Finding>& findings)
        : bank_(bank), index_(index), units_(units), findings_(findings) {}

    void run() {
        for (std::size_t i = 0; i < bank_.throttles.size(); ++i) {
            throttle(bank_.throttles[i], i);
        }
        if (bank_.pre_chamber) {
            chamber(*bank_.pre_chamber, "pre_chamber");
        }
        if (bank_.slot) {
            slot(*bank_.slot);
        }
        if (bank_.plenum) {
            chamber(*bank_.plenum, "plenum");
        }
    }

private:
    [[nodiscard]] std::string mm(double value) const { return format_as(value, "mm", 1, units_); }
    [[nodiscard]] std::string fine(double value) const { return format_limit(value, units_, 4); }
    [[nodiscard]] std::string mm2(double value) const { return format_as(value, "mm2", 0, units_); }
    [[nodiscard]] std::string extent(const std::string& part, const Chamber& chamber) const {
        return part + " 0-" + format_length(chamber.length, units_);
    }
    void error(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::error, key, index_, message});
    }
    void warn(const std::string& key, const std::string& message) {
        findings_.push_back({Severity::warning, key, index_, message});
    }
    void throttle(const Throttle& part, std::size_t i) {
        const std::string which =
            bank_.throttles.size() > 1 ? "throttle " + std::to_string(i + 1) : "throttle";
        if (!(part.bore > 0)) {
            error("throttle.bore", which + " bore " + mm(part.bore) + "; must be above 0");
            return;
        }
        if (part.shaft < 0 || part.shaft >= part.bore) {
            error("throttle.shaft",
                  which + " shaft " + mm(part.shaft) + " does not fit its bore of " +
                      mm(part.bore) + "; make it smaller");
        }
        if (part.closed_angle < 0 || part.closed_angle >= 0.5 * std::numbers::pi) {
            error("throttle.closed_angle",
                  which + " closed angle " + format_fixed(part.closed_angle, "deg") +
                      " is outside 0-90 deg; state it from the closed plane");
        }
        coefficient(part, which);
        const bool pre = part.feeds == FeedTarget::pre_chamber;
        const auto& chamber = pre ? bank_.pre_chamber : bank_.plenum;
        const std::string name = pre ? "pre_chamber" : "plenum";
        if (!chamber) {
            error("throttle.feeds",
                  which + " feeds the " + name + ", which is missing; add it or change feeds");
            return;
        }
        if (part.position == FeedPosition::side &&
            (part.x < -slack || part.x > chamber->length + slack)) {
            error("throttle.x",
                  which + " at x " + mm(part.x) + " lies outside " + extent(name, *chamber) +
                      "; move it or lengthen " + name + ".length");
        }
        mouth_in_wall(part, which, *chamber, name);
    }

    /// A bore that is wider than the wall it opens through.
    void mouth_in_wall(const Throttle& part,
                       const std::string& which,
                       const Chamber& chamber,
                       const std::string& name) {
        if (chamber.area.empty() || !(chamber.area.smallest() > 0)) {
            return;
        }
        if (part.position == FeedPosition::side) {
            const double across = across_at(chamber, std::clamp(part.x, 0.0, chamber.length));
            if (part.bore > across * (1 + 1e-9)) {
                warn("throttle.bore",
                     which + " bore " + mm(part.bore) + " is wider than the side of the " + name +
                         ", " + mm(across) + " " + across_words(chamber) +
                         "; make it smaller, enlarge " + name + ".area or state " + name +
                         ".height");
            }
            if (part.x - 0.5 * part.bore < -slack ||
                part.x + 0.5 * part.bore > chamber.length + slack) {
                warn("throttle.x",
                     which + " bore " + mm(part.bore) + " at x " + mm(part.x) +
                         " reaches past the end of " + extent(name, chamber) +
                         "; move it or lengthen " + name + ".length");
            }
            return;
        }
        const double at = part.position == FeedPosition::start ? 0 : chamber.length;
        double bores = 0;
        std::size_t first = bank_.throttles.size(), count = 0;
        for (std::size_t i = 0; i < bank_.throttles.size(); ++i) {
            const auto& other = bank_.throttles[i];
            if (other.feeds == part.feeds && other.position == part.position) {
                bores += other.bore_area();
                first = std::min(first, i);
                ++count;
            }
        }
        if (&part == &bank_.throttles[first] && bores > chamber.area.at(at) * (1 + 1e-9)) {
            warn("throttle.bore",
                 (count > 1 ? "throttles: the bores together, " : which + " bore area ") +
                     mm2(bores) + (count > 1 ? ", exceed" : " exceeds") + " the section of the " +
                     name + " there, " + mm2(chamber.area.at(at)) +
                     "; the plate is not what limits the air: make the bore smaller or enlarge " +
                     name + ".area");
        }
    }

    /// Height of a chamber's wall at x: as stated, else the diameter of a circle of its section.
    [[nodiscard]] static double across_at(const Chamber& part, double x) {
        return part.height ? *part.height : std::sqrt(4 * part.area.at(x) / std::numbers::pi);
    }
    [[nodiscard]] static std::string across_words(const Chamber& part) {
        return part.height ? "high" : "across as a circle of its section";
    }

    void coefficient(const Throttle& part, const std::string& which) {
        double largest = part.cd;
        if (part.cd_table && !part.cd_table->cd.empty()) {
            largest = *std::max_element(part.cd_table->cd.begin(), part.cd_table->cd.end());
        }
        if (largest > 1) {
            warn("throttle.cd",
                 which + " Cd " + format_number(largest, 4) +
                     " exceeds 1; check which area it refers to (cd_area)");
        }
    }

    void chamber(const Chamber& part, const std::string& name) {
        if (!(part.length > 0)) {
            error(name + ".length", name + " length " + mm(part.length) + "; must be above 0");
        }
        if (part.area.empty() || !(part.area.smallest() > 0)) {
            error(name + ".area", name + " section must be above 0 everywhere");
            return;
        }
        if (part.area.x().size() > 1 && part.area.x().back() > part.length + slack) {
            warn(name + ".area",
                 "last station of the " + name + " at x " + mm(part.area.x().back()) +
                     " lies past its length of " + mm(part.length) +
                     "; what lies past it is not used");
        }
        // Of all sections of one area the circle has the shortest wall.
        const double circle = 2 * std::sqrt(std::numbers::pi * part.area.smallest());
        if (part.perimeter && *part.perimeter < circle * (1 - 1e-3)) {
            warn(name + ".perimeter",
                 mm(*part.perimeter) + " is less than the wall of a round section of " +
                     mm2(part.area.smallest()) + ", " + mm(circle) +
                     "; correct one, or leave the perimeter out");
        }
    }

    void slot(const Slot& part) {
        struct Stretch {
            double from, to;
            std::string name;
        };
        std::vector<Stretch> stretches;
        for (std::size_t i = 0; i < part.pieces.size(); ++i) {
            const auto& piece = part.pieces[i];
            const std::string name =
                part.pieces.size() > 1 ? "slot piece " + std::to_string(i + 1) : "slot";
            stretches.push_back({piece.x, piece.x + piece.length, name});
            piece_width(piece, name);
        }
        for (std::size_t i = 0; i < part.holes.size(); ++i) {
            const auto& hole = part.holes[i];
            stretches.push_back({hole.x - 0.5 * hole.length,
                                 hole.x + 0.5 * hole.length,
                                 "slot hole " + std::to_string(i + 1)});
        }
        for (const auto& stretch : stretches) {
            inside(bank_.pre_chamber, "pre_chamber", stretch.from, stretch.to, stretch.name);
            inside(bank_.plenum, "plenum", stretch.from, stretch.to, stretch.name);
        }
        std::sort(stretches.begin(), stretches.end(), [](const Stretch& a, const Stretch& b) {
            return a.from < b.from;
        });
        for (std::size_t i = 1; i < stretches.size(); ++i) {
            const double overlap = stretches[i - 1].to - stretches[i].from;
            if (overlap > slack) {
                error("slot.x",
                      stretches[i - 1].name + " and " + stretches[i].name + " overlap by " +
                          mm(overlap) + "; move one or shorten it");
            }
        }
        if (!part.cd) {
            edges(part);
        }
        if (part.cd && *part.cd > 1) {
            warn("slot.cd",
                 "slot Cd " + format_number(*part.cd, 4) +
                     " exceeds 1; check the area it refers to");
        }
    }

    /// Both edges are cut from one wall.
    void edges(const Slot& part) {
        constexpr double shown = 5e-6;  // half of the last digit of a size that is said to fit
        const bool inlet = part.edge_radius > part.land;
        const bool outlet = part.outlet_edge > part.land;
        if (inlet) {
            error("slot.edge_radius",
                  "slot edge radius " + mm(part.edge_radius) + " exceeds the land of " +
                      mm(part.land) + "; a radius cannot be deeper than the wall: make it smaller");
        }
        if (outlet) {
            error("slot.outlet_edge",
                  mm(part.outlet_edge) + " exceeds the land of " + mm(part.land) +
                      "; an edge cannot be deeper than the wall: make it smaller");
        }
        if (!inlet && !outlet && part.edge_radius + part.outlet_edge > part.land + shown) {
            error("slot.outlet_edge",
                  fine(part.outlet_edge) + " and the slot edge radius of " +
                      fine(part.edge_radius) + " make " +
                      fine(part.edge_radius + part.outlet_edge) + ", the land is " +
                      fine(part.land) + "; make slot.outlet_edge at most " +
                      fine(part.land - part.edge_radius) + ", slot.edge_radius at most " +
                      fine(part.land - part.outlet_edge) + ", or slot.land at least " +
                      fine(part.edge_radius + part.outlet_edge));
        }
    }

    void piece_width(const SlotPiece& piece, const std::string& name) {
        if (!(piece.length > 0)) {
            error("slot.length", name + " length " + mm(piece.length) + "; must be above 0");
        }
        if (piece.width.empty() || !(piece.width.smallest() >= 0) || !(piece.width.largest() > 0)) {
            error("slot.width", name + " width must be above 0");
            return;
        }
        if (piece.width.largest() > piece.length) {
            warn("slot.width",
                 name + " is wider (" + mm(piece.width.largest()) + ") than long (" +
                     mm(piece.length) + "); the slot law is for a long slot");
        }
        wall_height(bank_.pre_chamber, "pre_chamber", piece, name);
        wall_height(bank_.plenum, "plenum", piece, name);
    }

    void wall_height(const std::optional<Chamber>& wall,
                     const std::string& part,
                     const SlotPiece& piece,
                     const std::string& name) {
        if (!wall || wall->area.empty() || !(wall->area.smallest() > 0)) {
            return;
        }
        if (wall->height) {
            if (piece.width.largest() > *wall->height + slack) {
                error("slot.width",
                      name + " is " + mm(piece.width.largest()) + " wide, the wall of the " + part +
                          " only " + mm(*wall->height) + " high; make it narrower or raise " +
                          part + ".height");
            }
            return;
        }
        constexpr int stations = 16;
        for (int i = 0; i <= stations; ++i) {
            const double x = piece.x + piece.length * i / stations;
            const double inside = std::clamp(x, 0.0, wall->length);
            const double across = across_at(*wall, inside);
            if (piece.width.at(x) > across + slack) {
                warn("slot.width",
                     name + " is " + mm(piece.width.at(x)) + " wide at x " + mm(x) + ", the " +
                         part + " there only " + mm(across) + " " + across_words(*wall) +
                         "; make it narrower, enlarge " + part + ".area or state " + part +
                         ".height");
                return;
            }
        }
    }

    void inside(const std::optional<Chamber>& room,
                const std::string& part,
                double from,
                double to,
                const std::string& name) {
        if (room && (from < -slack || to > room->length + slack)) {
            error("slot.x",
                  name + " from x " + mm(from) + " to " + mm(to) + " lies outside " +
                      extent(part, *room) + "; move it, shorten slot.length or lengthen " + part +
                      ".length");
        }
    }

    const Bank& bank_;
    std::size_t index_;
    const OutputUnits& units_;
    std::vector<Finding>& findings_;
};

}  // namespace

std::vector<Finding> check_intake(const Intake& intake, const OutputUnits& units) {
    std::vector<Finding> findings;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        BankCheck(intake.banks[i], i, units, findings).run();
        check_runners(intake.banks[i], i, units, findings);
    }
    return findings;
}

}  // namespace plenair::geometry
