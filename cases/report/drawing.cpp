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

std::string slot_words(const geometry::Slot& slot, const OutputUnits& units) {
    const auto mm = [&units](double length) { return drawn_size(in_mm(length), units); };
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
std::vector<std::string> bank_words(const geometry::Bank& bank, const OutputUnits& units) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        lines.push_back(throttle_words(bank.throttles[i], throttle_name(bank, i), units));
    }
    if (bank.pre_chamber) {
        lines.push_back(chamber_words(*bank.pre_chamber, "Pre-chamber", units));
    }
    if (bank.slot) {
        lines.push_back(slot_words(*bank.slot, units));
    }
    if (bank.plenum) {
        lines.push_back(chamber_words(*bank.plenum, "Plenum", units));
    }
    const auto runners = runner_list(bank, units);
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

View notes_view(const geometry::Bank& bank, double text, const OutputUnits& units) {
    const auto row = geometry::row_of(bank);
    const std::string in = units.inches() ? "Dimensions in inches" : "Dimensions in mm";
    View view{row.first.empty() ? in + "; x from the inside face of the end wall x = 0"
                                : in + "; x from the inside face of the end wall beside " +
                                      geometry::cylinder_words(row.first),
              text};
    double y = 0;
    for (const auto& line : bank_words(bank, units)) {
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

drawing::Drawing intake_drawing(const geometry::Intake& intake,
                                const std::string& title,
                                const geometry::OutputUnits& units) {
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
        const std::string prefix = drawing::bank_title(intake, i);
        const auto add = [&](drawing::View view) {
            view.title = prefix + view.title;
            view.row = row++;
            result.views.push_back(std::move(view));
        };
        add(drawing::section_view(bank, text, units));
        if (bank.slot) {
            add(drawing::slot_view(bank, text));
        }
        const auto first = result.views.size();
        drawing::add_details(result, bank, text, row++);
        for (auto k = first; k < result.views.size(); ++k) {
            result.views[k].title.insert(0, prefix);
        }
        add(drawing::notes_view(bank, text, units));
        for (const auto& line : drawing::bank_words(bank, units)) {
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
    return drawing_svg(intake_drawing(intake, options.title, options.units), options);
}

}  // namespace plenair
