#include "cases/report/drawing/drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "cases/report/words/numbers.hpp"
#include "cases/study/machining.hpp"
#include "geometry/places.hpp"
#include "geometry/slot_holes.hpp"

namespace plenair {

namespace drawing {

namespace {

using geometry::OutputUnits;

/// What one runner is, without its number and place.
std::string runner_words(const geometry::Runner& runner, const OutputUnits& units) {
    const auto mm = [&units](double length) { return drawn_size(in_mm(length), units); };
    const double flange = runner.length - runner.port_length;
    const std::string mouth = mm(runner.mouth_diameter());
    const std::string end = mm(runner.diameter.at(flange));
    std::string words =
        fmt::format("bore {} over {}", mouth == end ? mouth : mouth + " to " + end, mm(flange));
    if (runner.port_length > 0) {
        words += fmt::format(
            ", port to {} over {}", mm(runner.diameter.at(runner.length)), mm(runner.port_length));
    }
    if (runner.bell_radius > 0) {
        words += fmt::format(", bell R {}", mm(runner.bell_radius));
    }
    if (runner.bell_outer_diameter) {
        words += fmt::format(", bell outer diameter {}", mm(*runner.bell_outer_diameter));
    }
    if (runner.protrusion) {
        words += fmt::format(", raised {}", mm(*runner.protrusion));
    }
    if (runner.wall_clearance) {
        words += fmt::format(", {} to the opposite wall", mm(*runner.wall_clearance));
    }
    return words;
}

/// "Runners 1, 3 and 5: ..." where neighbours along x are alike.
std::vector<std::string> runner_list(const geometry::Bank& bank, const OutputUnits& units) {
    std::vector<std::size_t> order(bank.runners.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return bank.runners[a].x < bank.runners[b].x;
    });
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < order.size();) {
        const std::string words = runner_words(bank.runners[order[i]], units);
        std::vector<int> numbers;
        for (; i < order.size() && runner_words(bank.runners[order[i]], units) == words; ++i) {
            numbers.push_back(geometry::cylinder_of(bank, order[i]));
        }
        lines.push_back(fmt::format("{} {}: {}",
                                    numbers.size() > 1 ? "Runners" : "Runner",
                                    geometry::listed(numbers),
                                    words));
    }
    return lines;
}

std::string chamber_words(const geometry::Chamber& room,
                          const std::string& name,
                          const OutputUnits& units) {
    const auto mm = [&units](double length) { return drawn_size(in_mm(length), units); };
    std::string words = fmt::format("{}: length {}, section ", name, mm(room.length));
    const auto& values = room.area.value();
    if (room.area.smallest() == room.area.largest()) {
        words += drawn_area(values.front(), units);
    } else {
        for (std::size_t i = 0; i < values.size(); ++i) {
            words += fmt::format("{}{} at x {}",
                                 i > 0 ? ", " : "",
                                 drawn_area(values[i], units),
                                 mm(room.area.x()[i]));
        }
    }
    words += room.height ? fmt::format(", height {}", mm(*room.height))
                         : std::string(", drawn square: no height stated");
    return words;
}

std::string ends_words(const geometry::Slot& slot,
                       const geometry::SlotShop& shop,
                       const OutputUnits& units) {
    if (slot.pieces.empty() && shop.ends == geometry::SlotEnds::square) {
        return "";
    }
    std::string words = slot.pieces.empty() ? ", corners" : ", ends";
    switch (shop.ends) {
        case geometry::SlotEnds::full_radius:
            words += " full radius";
            break;
        case geometry::SlotEnds::cutter:
            words += " R " + drawn_size(in_mm(0.5 * shop.cutter), units);
            break;
        case geometry::SlotEnds::square:
            words += " square";
            break;
    }
    if (!slot.pieces.empty()) {
        words += shop.ends_stated ? "" : " (default)";
        words += ", length over all";
    }
    return words;
}

/// Where the slot is measured: "1 at 12, 2 at 59 ...".
std::string station_words(const geometry::Slot& slot, const OutputUnits& units) {
    std::string words;
    for (const auto& station : machining_stations(slot, units)) {
        words += fmt::format("{}{} at {}",
                             words.empty() ? "Stations from B: " : ", ",
                             station.number,
                             drawn_size(in_mm(station.x), units));
    }
    return words;
}

std::vector<std::string> slot_words(const geometry::Slot& slot,
                                    const geometry::SlotShop& shop,
                                    const OutputUnits& units) {
    const auto mm = [&units](double length) { return drawn_size(in_mm(length), units); };
    const auto& limits = slot.limits;
    std::vector<std::string> lines;
    const bool holes = slot.pieces.empty();
    const std::string name = holes ? "Holes" : "Slot";
    std::string words = name + ": ";
    if (slot.cd) {
        words += fmt::format("Cd {} as stated", drawn_number(*slot.cd));
    }
    if (slot.land > 0) {
        words += fmt::format(
            "{}land {}{}, inlet edge {} on side A, outlet edge {}",
            slot.cd ? ", " : "",
            mm(slot.land),
            tolerance_text(limits.land, units),
            slot.edge_radius > 0
                ? "radius " + mm(slot.edge_radius) + tolerance_text(limits.edge_radius, units)
                : std::string("sharp"),
            outlet_is_cut(slot) ? "radius " + mm(slot.outlet_edge) + outlet_text(slot, units)
                                : "sharp, break " + mm(outlet_break(slot, units)) + " at most");
    }
    words += ends_words(slot, shop, units);
    lines.push_back(words);
    const bool all_round =
        holes && std::all_of(slot.holes.begin(), slot.holes.end(), geometry::is_round);
    lines.push_back(fmt::format(
        "{} tolerances: {}{}, {}{}, land square to A within {}, A flat within {}",
        name,
        all_round ? "diameter" : "width",
        tolerance_text(limits.width, units),
        holes
            ? std::string("centres and place across")
            : fmt::format("taper {} end to end, start, length and place across", mm(limits.taper)),
        tolerance_text(limits.length, units),
        mm(shop.squareness),
        mm(limits.flatness)));
    lines.push_back(
        "Datums: A face of the wall on the pre-chamber side, B inside of the end wall "
        "x = 0, C middle of the wall between its side faces");
    lines.push_back(station_words(in_order(slot), units));
    return lines;
}

std::string throttle_words(const geometry::Throttle& throttle,
                           const std::string& name,
                           const OutputUnits& units) {
    const auto mm = [&units](double length) { return drawn_size(in_mm(length), units); };
    const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber;
    std::string where = "in line through the end wall x 0";
    if (throttle.position == geometry::FeedPosition::end) {
        where = "in line through the far end wall";
    } else if (throttle.position == geometry::FeedPosition::side) {
        where = fmt::format("through the side wall at x {}", mm(throttle.x));
    }
    return fmt::format("{}: bore {}, shaft {}, into the {} {}",
                       name,
                       mm(throttle.bore),
                       mm(throttle.shaft),
                       pre ? "pre-chamber" : "plenum",
                       where);
}

std::string throttle_name(const geometry::Bank& bank, std::size_t i) {
    return bank.throttles.size() > 1 ? fmt::format("Throttle {}", i + 1) : std::string("Throttle");
}

/// The dimensions of a bank in words: for the notes, and for people who cannot see the drawing.
std::vector<std::string> bank_words(const geometry::Bank& bank,
                                    const geometry::SlotShop& shop,
                                    const OutputUnits& units) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        lines.push_back(throttle_words(bank.throttles[i], throttle_name(bank, i), units));
    }
    if (bank.pre_chamber) {
        lines.push_back(chamber_words(*bank.pre_chamber, "Pre-chamber", units));
    }
    if (bank.slot) {
        const auto of_slot = slot_words(*bank.slot, shop, units);
        lines.insert(lines.end(), of_slot.begin(), of_slot.end());
    }
    if (bank.plenum) {
        lines.push_back(chamber_words(*bank.plenum, "Plenum", units));
    }
    const auto runners = runner_list(bank, units);
    lines.insert(lines.end(), runners.begin(), runners.end());
    return lines;
}

/// A note in lines no longer than the drawing is wide.
std::vector<std::string> in_lines(const std::string& text) {
    constexpr std::size_t longest = 118;
    std::vector<std::string> lines;
    std::size_t from = 0;
    while (text.size() - from > longest) {
        const auto at = text.rfind(", ", from + longest);
        if (at == std::string::npos || at <= from) {
            break;
        }
        lines.push_back(text.substr(from, at + 1 - from));
        from = at + 2;
    }
    lines.push_back(text.substr(from));
    return lines;
}

/// Magnification that gives a view a wanted share of the picture's width, a round number.
double magnification(const View& view, double wanted) {
    const double exact = wanted / bounds(view).width();
    double best = 1;
    for (const double scale : {2.0, 5.0, 10.0, 20.0}) {
        best = scale <= exact ? scale : best;
    }
    return best;
}

/// The slot cut across. In a picture once, as large as there is room; in a file at 1:1 with text as
/// large as a wall of a few millimetres allows, and before that enlarged, to be read at a glance.
std::vector<View> sections_of(const geometry::Slot& slot,
                              double text,
                              const OutputUnits& units,
                              DrawnFor purpose) {
    const double width = slot.pieces.empty() ? geometry::hole_width(slot.holes.front())
                                             : slot.pieces.front().width.at(slot.pieces.front().x);
    const bool many = !slot.pieces.empty() &&
                      slot.pieces.front().width.smallest() != slot.pieces.front().width.largest();
    const auto& limits = slot.limits;
    SectionLabels labels{tolerance_text(limits.width, units) + (many ? " at the start" : ""),
                         tolerance_text(limits.land, units),
                         tolerance_text(limits.edge_radius, units),
                         outlet_text(slot, units)};
    geometry::Slot shown = slot;
    shown.outlet_edge = outlet_break(slot, units);
    // The text height depends on the magnification that it helps to decide.
    const View rough = slot_section_view(shown, width, text / 4, labels);
    const double scale = magnification(rough, 50 * text);
    View enlarged = slot_section_view(shown, width, text / scale, labels);
    enlarged.magnification = scale;
    if (purpose == DrawnFor::picture) {
        return {enlarged};
    }
    std::vector<View> views;
    if (scale > 1) {
        enlarged.title += fmt::format(", {}:1", drawn_number(scale));  // ISO 5455
        views.push_back(std::move(enlarged));
    }
    views.push_back(
        slot_section_view(shown, width, std::min(0.5 * text, in_mm(slot.land) / 3), labels));
    views.back().title += ", 1:1";
    return views;
}

void add_details(
    Drawing& drawing, const geometry::Bank& bank, double text, int row, DrawnFor purpose) {
    if (bank.slot && bank.slot->land > 0) {
        for (auto& view : sections_of(in_order(*bank.slot), text, drawing.units, purpose)) {
            view.row = row;
            drawing.views.push_back(std::move(view));
        }
    }
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        View view = throttle_view(bank.throttles[i], throttle_name(bank, i), text);
        view.row = row;
        drawing.views.push_back(view);
    }
}

std::string bank_title(const geometry::Intake& intake, std::size_t i) {
    if (intake.banks.size() < 2) {
        return "";
    }
    std::string words = geometry::bank_words(geometry::bank_name(intake, i));
    words.front() = 'B';
    return words + ": ";
}

}  // namespace

View notes_view(const geometry::Bank& bank,
                const geometry::SlotShop& shop,
                double text,
                const OutputUnits& units) {
    const auto row = geometry::row_of(bank);
    const std::string in = units.inches() ? "Dimensions in inches" : "Dimensions in mm";
    View view{row.first.empty() ? in + "; x from the inside face of the end wall x = 0"
                                : in + "; x from the inside face of the end wall beside " +
                                      geometry::cylinder_words(row.first),
              text};
    double y = 0;
    for (const auto& line : bank_words(bank, shop, units)) {
        double indent = 0;
        for (const auto& part : in_lines(line)) {
            view.note({indent, y}, part);
            y -= 1.6 * text;
            indent = 1.2 * text;
        }
    }
    view.note(
        {0, y},
        "Air passages only. Strength, welds and proof test are for a competent, where required "
        "licensed, person under local rules.");
    return view;
}

}  // namespace drawing

drawing::Drawing intake_drawing(const geometry::Intake& intake,
                                const std::string& title,
                                const geometry::OutputUnits& units,
                                const std::vector<geometry::SlotShop>& shops,
                                DrawnFor purpose) {
    drawing::Drawing result;
    result.units = units;
    result.title = title;
    double length = 0;
    for (const auto& bank : intake.banks) {
        length = std::max(length, drawing::drawn_length(bank));
    }
    const double text = std::max(length / 75, 0.1);
    int row = 0;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        const auto& bank = intake.banks[i];
        geometry::SlotShop shop;
        if (i < shops.size()) {
            shop = shops[i];
        } else if (bank.slot && bank.slot->pieces.empty()) {
            shop.ends = geometry::SlotEnds::square;
        }
        const std::string prefix = drawing::bank_title(intake, i);
        const auto add = [&](drawing::View view) {
            view.title = prefix + view.title;
            view.row = row++;
            result.views.push_back(std::move(view));
        };
        add(drawing::section_view(bank, text, units));
        if (bank.slot) {
            add(drawing::slot_view(bank, shop, text, units));
        }
        const auto first = result.views.size();
        drawing::add_details(result, bank, text, row++, purpose);
        for (auto k = first; k < result.views.size(); ++k) {
            result.views[k].title.insert(0, prefix);
        }
        add(drawing::notes_view(bank, shop, text, units));
        for (const auto& line : drawing::bank_words(bank, shop, units)) {
            result.description += prefix + line + ". ";
        }
    }
    for (auto& view : result.views) {
        for (auto& dimension : view.dimensions) {
            dimension.units = units;
        }
    }
    return result;
}

std::string drawing_svg(const geometry::Intake& intake, const DrawingOptions& options) {
    return drawing_svg(intake_drawing(intake, options.title, options.units, options.shops),
                       options);
}

}  // namespace plenair
