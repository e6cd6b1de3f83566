#include "cases/report/drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "cases/report/numbers.hpp"
#include "geometry/places.hpp"

namespace plenair {

namespace drawing {

namespace {

/// What one runner is, without its number and place.
std::string runner_words(const geometry::Runner& runner) {
    const auto mm = [](double length) { return drawn_number(in_mm(length)); };
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
std::vector<std::string> runner_list(const geometry::Bank& bank) {
    std::vector<std::size_t> order(bank.runners.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return bank.runners[a].x < bank.runners[b].x;
    });
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < order.size();) {
        const std::string words = runner_words(bank.runners[order[i]]);
        std::vector<int> numbers;
        for (; i < order.size() && runner_words(bank.runners[order[i]]) == words; ++i) {
            numbers.push_back(geometry::cylinder_of(bank, order[i]));
        }
        lines.push_back(fmt::format("{} {}: {}",
                                    numbers.size() > 1 ? "Runners" : "Runner",
                                    geometry::listed(numbers),
                                    words));
    }
    return lines;
}

std::string chamber_words(const geometry::Chamber& room, const std::string& name) {
    std::string words =
        fmt::format("{}: length {}, section ", name, drawn_number(in_mm(room.length)));
    const auto& values = room.area.value();
    if (room.area.smallest() == room.area.largest()) {
        words += fmt::format("{} mm\u00b2", drawn_area(values.front()));
    } else {
        for (std::size_t i = 0; i < values.size(); ++i) {
            words += fmt::format("{}{} mm\u00b2 at x {}",
                                 i > 0 ? ", " : "",
                                 drawn_area(values[i]),
                                 drawn_number(in_mm(room.area.x()[i])));
        }
    }
    words += room.height ? fmt::format(", height {}", drawn_number(in_mm(*room.height)))
                         : std::string(", drawn square: no height stated");
    return words;
}

std::string slot_words(const geometry::Slot& slot) {
    const auto mm = [](double length) { return drawn_number(in_mm(length)); };
    std::string words = "Slot: ";
    if (slot.cd) {
        words += fmt::format("Cd {} as stated", drawn_number(*slot.cd));
    }
    if (slot.land > 0) {
        words += fmt::format(
            "{}land {}, inlet edge {} on the pre-chamber side, outlet edge {}",
            slot.cd ? ", " : "",
            mm(slot.land),
            slot.edge_radius > 0 ? "radius " + mm(slot.edge_radius) : std::string("sharp"),
            slot.outlet_edge > 0 ? "radius " + mm(slot.outlet_edge) : std::string("sharp"));
    }
    return words;
}

std::string throttle_words(const geometry::Throttle& throttle, const std::string& name) {
    const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber;
    std::string where = "in line through the end wall x 0";
    if (throttle.position == geometry::FeedPosition::end) {
        where = "in line through the far end wall";
    } else if (throttle.position == geometry::FeedPosition::side) {
        where = fmt::format("through the side wall at x {}", drawn_number(in_mm(throttle.x)));
    }
    return fmt::format("{}: bore {}, shaft {}, into the {} {}",
                       name,
                       drawn_number(in_mm(throttle.bore)),
                       drawn_number(in_mm(throttle.shaft)),
                       pre ? "pre-chamber" : "plenum",
                       where);
}

std::string throttle_name(const geometry::Bank& bank, std::size_t i) {
    return bank.throttles.size() > 1 ? fmt::format("Throttle {}", i + 1) : std::string("Throttle");
}

/// The dimensions of a bank in words: for the notes, and for people who cannot see the drawing.
std::vector<std::string> bank_words(const geometry::Bank& bank) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        lines.push_back(throttle_words(bank.throttles[i], throttle_name(bank, i)));
    }
    if (bank.pre_chamber) {
        lines.push_back(chamber_words(*bank.pre_chamber, "Pre-chamber"));
    }
    if (bank.slot) {
        lines.push_back(slot_words(*bank.slot));
    }
    if (bank.plenum) {
        lines.push_back(chamber_words(*bank.plenum, "Plenum"));
    }
    const auto runners = runner_list(bank);
    lines.insert(lines.end(), runners.begin(), runners.end());
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

void add_details(Drawing& drawing, const geometry::Bank& bank, double text, int row) {
    if (bank.slot && bank.slot->land > 0) {
        const auto& slot = *bank.slot;
        const double width = slot.pieces.empty() ? hole_width(slot.holes.front())
                             : slot.pieces.empty()
                                 ? 0
                                 : slot.pieces.front().width.at(slot.pieces.front().x);
        // The text height depends on the magnification that it helps to decide.
        const View rough = slot_section_view(slot, width, text / 4);
        const double scale = magnification(rough, 45 * text);
        View view = slot_section_view(slot, width, text / scale);
        view.magnification = scale;
        view.row = row;
        drawing.views.push_back(view);
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

View notes_view(const geometry::Bank& bank, double text) {
    const auto row = geometry::row_of(bank);
    View view{row.first.empty()
                  ? std::string("Dimensions in mm; x from the inside face of the end wall x = 0")
                  : "Dimensions in mm; x from the inside face of the end wall beside " +
                        geometry::cylinder_words(row.first),
              text};
    double y = 0;
    for (const auto& line : bank_words(bank)) {
        view.note({0, y}, line);
        y -= 1.6 * text;
    }
    view.note(
        {0, y},
        "Air passages only. Strength, welds and proof test are for a competent, where required "
        "licensed, person under local rules.");
    return view;
}

}  // namespace drawing

drawing::Drawing intake_drawing(const geometry::Intake& intake, const std::string& title) {
    drawing::Drawing result;
    result.title = title;
    double length = 0;
    for (const auto& bank : intake.banks) {
        length = std::max(length, drawing::drawn_length(bank));
    }
    const double text = std::max(length / 75, 0.1);
    int row = 0;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        const auto& bank = intake.banks[i];
        const std::string prefix = drawing::bank_title(intake, i);
        const auto add = [&](drawing::View view) {
            view.title = prefix + view.title;
            view.row = row++;
            result.views.push_back(std::move(view));
        };
        add(drawing::section_view(bank, text));
        if (bank.slot) {
            add(drawing::slot_view(bank, text));
        }
        const auto first = result.views.size();
        drawing::add_details(result, bank, text, row++);
        for (auto k = first; k < result.views.size(); ++k) {
            result.views[k].title.insert(0, prefix);
        }
        add(drawing::notes_view(bank, text));
        for (const auto& line : drawing::bank_words(bank)) {
            result.description += prefix + line + ". ";
        }
    }
    return result;
}

std::string drawing_svg(const geometry::Intake& intake, const DrawingOptions& options) {
    return drawing_svg(intake_drawing(intake, options.title), options);
}

}  // namespace plenair
