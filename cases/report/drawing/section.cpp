#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/report/drawing/drawing.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"

/// The section along x: pre-chamber above, slot wall between, plenum below, runners beneath it.
/// Which way the parts face is not known to the case, so they are unfolded into one plane.
namespace plenair::drawing {

double in_mm(double length) {
    return converted(length, "mm");
}

std::string drawn_area(double area, const geometry::OutputUnits& units) {
    // Sections are known to four digits at best: 4000 mm2, not the 3999.992 that 6.2 in2 are.
    constexpr int digits = 5;
    const auto unit = units.in_place_of("mm2");
    return geometry::format_number(converted(area, std::string(unit).c_str()), digits) +
           (units.inches() ? " in\u00b2" : " mm\u00b2");
}

double drawn_depth(const geometry::Chamber& chamber, double x) {
    const double area = chamber.area.at(x);
    return in_mm(chamber.height ? area / *chamber.height : std::sqrt(area));
}

double floor_height(const geometry::Bank& bank, double x) {
    if (!bank.plenum) {
        return 0;
    }
    const double place = std::clamp(geometry::from_unit(x, "mm"), 0.0, bank.plenum->length);
    return -drawn_depth(*bank.plenum, place);
}

std::vector<double> profile_stations(const geometry::Profile& profile, double length) {
    std::vector<double> x{0};
    for (const double station : profile.x()) {
        if (station > 0 && station < length) {
            x.push_back(station);
        }
    }
    x.push_back(length);
    return x;
}

double drawn_length(const geometry::Bank& bank) {
    double length = 0;
    for (const auto* chamber : {&bank.pre_chamber, &bank.plenum}) {
        length = std::max(length, *chamber ? (*chamber)->length : 0);
    }
    if (bank.slot) {
        for (const auto& piece : bank.slot->pieces) {
            length = std::max(length, piece.x + piece.length);
        }
        for (const auto& hole : bank.slot->holes) {
            length = std::max(length, hole.x + hole.length / 2);
        }
    }
    for (const auto& runner : bank.runners) {
        length = std::max(length, runner.x + runner.mouth_diameter() / 2);
    }
    return in_mm(length);
}

namespace {

class SectionDrawer final {
public:
    SectionDrawer(const geometry::Bank& bank, double text, const geometry::OutputUnits& units)
        : bank_(bank), text_(text), units_(units) {
        view_.text = text;
        view_.title = "Section along x";
        view_.in_line = true;
        land_ = bank.slot ? in_mm(bank.slot->land) : 0;
    }

    View draw() {
        if (bank_.pre_chamber) {
            add_chamber(*bank_.pre_chamber, "Pre-chamber", land_, 1);
        }
        if (bank_.plenum) {
            add_chamber(*bank_.plenum, "Plenum", 0, -1);
        }
        if (bank_.slot) {
            add_wall();
        }
        add_runners(view_, bank_, units_);
        for (std::size_t i = 0; i < bank_.throttles.size(); ++i) {
            add_throttle(i);
        }
        add_lengths();
        return view_;
    }

private:
    /// Height of the highest outline above the wall.
    [[nodiscard]] double ceiling() const {
        double top = land_;
        if (bank_.pre_chamber) {
            for (const double x :
                 profile_stations(bank_.pre_chamber->area, bank_.pre_chamber->length)) {
                top = std::max(top, land_ + drawn_depth(*bank_.pre_chamber, x));
            }
        }
        return top;
    }

    void add_chamber(const geometry::Chamber& room,
                     const std::string& name,
                     double wall,
                     double up) {
        std::vector<Point> far;
        const auto x = profile_stations(room.area, room.length);
        for (const double station : x) {
            far.push_back({in_mm(station), wall + up * drawn_depth(room, station)});
        }
        const double length = in_mm(room.length);
        if (!room.open_start) {
            view_.line(Layer::outline, {0, wall}, far.front());
        }
        if (!room.open_end) {
            view_.line(Layer::outline, far.back(), {length, wall});
        }
        if (up > 0) {
            view_.polylines.push_back({Layer::outline, far});
        } else {
            add_floor(far);
        }
        if (!bank_.slot) {
            view_.line(Layer::outline, {0, wall}, {length, wall});
        }
        add_room_notes(room, name, wall, up);
    }

    /// The floor, open where a runner leaves it.
    void add_floor(const std::vector<Point>& floor) {
        std::vector<std::pair<double, double>> mouths;
        for (const auto& runner : bank_.runners) {
            // A bell that begins below the floor opens it wider than the bore.
            const double bell = in_mm(runner.bell_radius);
            const double below = std::clamp(bell - in_mm(runner.protrusion.value_or(0)), 0.0, bell);
            const double half =
                in_mm(runner.mouth_diameter()) / 2 + bell - std::sqrt(bell * bell - below * below);
            mouths.emplace_back(in_mm(runner.x) - half, in_mm(runner.x) + half);
        }
        std::sort(mouths.begin(), mouths.end());
        double from = floor.front().x;
        mouths.emplace_back(floor.back().x, floor.back().x);
        for (const auto& [start, end] : mouths) {
            const double to = std::min(start, floor.back().x);
            if (to > from) {
                Polyline stretch{Layer::outline, {{from, floor_height(bank_, from)}}};
                for (const auto& point : floor) {
                    if (point.x > from && point.x < to) {
                        stretch.points.push_back(point);
                    }
                }
                stretch.points.push_back({to, floor_height(bank_, to)});
                view_.polylines.push_back(stretch);
            }
            from = std::max(from, end);
        }
    }

    void add_room_notes(const geometry::Chamber& room,
                        const std::string& name,
                        double wall,
                        double up) {
        const auto section = [&](double x) { return drawn_area(room.area.at(x), units_); };
        const double length = in_mm(room.length);
        const double near_wall = up > 0 ? wall + 0.8 * text_ : wall - 1.8 * text_;
        const bool constant = room.area.smallest() == room.area.largest();
        if (constant) {
            view_.note({name_place(up) * length, near_wall},
                       name + ", section " + section(0),
                       Align::centre);
            return;
        }
        std::vector<double> x;
        const auto places = profile_stations(room.area, room.length);
        for (const double place : places) {
            x.push_back(in_mm(place));
        }
        const double letters = text_width(section(0)) + 1;
        x.front() += 0.5 * letters * text_ + 0.6 * text_;
        x.back() -= 0.5 * letters * text_ + 0.6 * text_;
        const auto at = spread_apart(x, letters * text_);
        for (std::size_t i = 0; i < places.size(); ++i) {
            view_.note({at[i], near_wall}, section(places[i]), Align::centre);
        }
        view_.note({name_place(up) * length, near_wall + up * 1.8 * text_}, name, Align::centre);
    }

    /// Where along a chamber its name stands: in the middle, or farthest from its side feeds.
    [[nodiscard]] double name_place(double up) const {
        const auto target =
            up > 0 ? geometry::FeedTarget::pre_chamber : geometry::FeedTarget::plenum;
        const auto& room = up > 0 ? bank_.pre_chamber : bank_.plenum;
        double best = 0.5, farthest = -1;
        for (const double place : {0.5, 0.2, 0.8}) {
            double gap = 1;
            for (const auto& each : bank_.throttles) {
                if (each.feeds == target && each.position == geometry::FeedPosition::side) {
                    gap = std::min(gap, std::abs(each.x / room->length - place));
                }
            }
            if (gap > farthest + 1e-9) {
                farthest = gap;
                best = place;
            }
        }
        return best;
    }

    /// Throttles that enter where this one does, itself too, counted from 1; the section sees one
    /// of them.
    [[nodiscard]] std::vector<int> side_by_side(std::size_t index) const {
        const auto& throttle = bank_.throttles[index];
        std::vector<int> numbers;
        for (std::size_t i = 0; i < bank_.throttles.size(); ++i) {
            const auto& each = bank_.throttles[i];
            const bool side = each.position == geometry::FeedPosition::side;
            if (each.feeds == throttle.feeds && each.position == throttle.position &&
                (!side || std::abs(each.x - throttle.x) < 1e-6)) {
                numbers.push_back(static_cast<int>(i) + 1);
            }
        }
        return numbers;
    }

    /// The wall that carries the slot, cut where the slot is not.
    void add_wall() {
        std::vector<std::pair<double, double>> open;
        for (const auto& piece : bank_.slot->pieces) {
            open.emplace_back(in_mm(piece.x), in_mm(piece.x + piece.length));
        }
        for (const auto& hole : bank_.slot->holes) {
            open.emplace_back(in_mm(hole.x - hole.length / 2), in_mm(hole.x + hole.length / 2));
        }
        std::sort(open.begin(), open.end());
        double solid = 0;
        const double end = std::max({bank_.pre_chamber ? in_mm(bank_.pre_chamber->length) : 0,
                                     bank_.plenum ? in_mm(bank_.plenum->length) : 0,
                                     open.empty() ? 0 : open.back().second});
        open.emplace_back(end, end);
        for (const auto& [from, to] : open) {
            if (from > solid) {
                view_.polylines.push_back(
                    {Layer::outline, {{solid, 0}, {from, 0}, {from, land_}, {solid, land_}}, true});
            }
            if (to > from) {
                view_.polylines.push_back(
                    {Layer::slot, {{from, 0}, {to, 0}, {to, land_}, {from, land_}}, true});
            }
            solid = std::max(solid, to);
        }
    }

    void add_throttle(std::size_t index) {
        const auto& throttle = bank_.throttles[index];
        const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber;
        const auto& room = pre ? bank_.pre_chamber : bank_.plenum;
        if (!room) {
            return;
        }
        const double wall = pre ? land_ : 0;
        const double up = pre ? 1 : -1;
        const double length = in_mm(room->length);
        const auto together = side_by_side(index);
        if (together.front() != static_cast<int>(index) + 1) {
            return;
        }
        std::vector<double> halves;
        for (const int number : together) {
            halves.push_back(in_mm(bank_.throttles[static_cast<std::size_t>(number) - 1].bore) / 2);
        }
        const double half = *std::max_element(halves.begin(), halves.end());
        const bool equal = *std::min_element(halves.begin(), halves.end()) == half;
        const std::string name = bank_.throttles.size() < 2 ? std::string("Throttle")
                                 : together.size() > 1 ? "Throttles " + geometry::listed(together)
                                                       : fmt::format("Throttle {}", index + 1);
        if (throttle.position == geometry::FeedPosition::side) {
            const double x = in_mm(throttle.x);
            const double y = wall + up * drawn_depth(*room, throttle.x) / 2;
            for (const double each : halves) {
                view_.arcs.push_back({Layer::throttle, {x, y}, each});
            }
            view_.line(Layer::centre, {x - half - text_, y}, {x + half + text_, y});
            view_.line(Layer::centre, {x, y - half - text_}, {x, y + half + text_});
            view_.note({x + half + 0.6 * text_, y + 0.5 * text_}, name + " through the side wall");
            raised_ += 2.4 * text_;
            view_.dimensions.push_back(
                {Measure::along_x, {0, y}, {x, y}, ceiling() + raised_ - 0.2 * text_});
            return;
        }
        const bool start = throttle.position == geometry::FeedPosition::start;
        const double out = start ? -1 : 1;
        const double face = start ? 0 : length;
        const double y = wall + up * drawn_depth(*room, start ? 0 : room->length) / 2;
        const double reach = face + out * std::max(half, 4 * text_);
        for (const double each : halves) {
            for (const double side : {-each, each}) {
                view_.line(Layer::throttle, {face, y + side}, {reach, y + side});
            }
        }
        const double plate = 0.5 * (face + reach);
        view_.line(Layer::throttle, {plate, y - half}, {plate, y + half});
        view_.arcs.push_back({Layer::throttle, {plate, y}, in_mm(throttle.shaft) / 2});
        view_.line(Layer::centre, {reach + out * text_, y}, {face - out * 2 * text_, y});
        view_.dimensions.push_back({Measure::along_y,
                                    {reach, y - half},
                                    {reach, y + half},
                                    reach + out * 2 * text_,
                                    together.size() < 2 ? ""
                                    : equal             ? " each"
                                                        : " the larger",
                                    true});
        // It ends before the wall; outwards there is room for any length.
        view_.note({face + out * 0.5 * text_, y + half + 0.6 * text_},
                   name,
                   start ? Align::right : Align::left);
    }

    void add_lengths() {
        double top = ceiling() + raised_ + 2.2 * text_;
        const auto add = [&](double from, double to, double y) {
            view_.dimensions.push_back({Measure::along_x, {from, y}, {to, y}, top});
        };
        if (bank_.pre_chamber) {
            const auto& room = *bank_.pre_chamber;
            add(0, in_mm(room.length), land_ + drawn_depth(room, 0));
            view_.dimensions.back().to.y = land_ + drawn_depth(room, room.length);
            top += 2.4 * text_;
        }
        if (bank_.plenum &&
            (!bank_.pre_chamber || bank_.plenum->length != bank_.pre_chamber->length)) {
            add(0, in_mm(bank_.plenum->length), 0);
        }
    }

    const geometry::Bank& bank_;
    double text_;
    geometry::OutputUnits units_;
    double land_ = 0;
    double raised_ = 0;  ///< of the dimensions above, by those of side feeds [mm]
    View view_;
};

}  // namespace

View section_view(const geometry::Bank& bank, double text, const geometry::OutputUnits& units) {
    return SectionDrawer(bank, text, units).draw();
}

}  // namespace plenair::drawing
