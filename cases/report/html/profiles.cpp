#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace plenair::html {

namespace {

using geometry::to_unit;

std::string kpa(double pressure, int decimals) {
    return number_text(to_unit(pressure, "kPa"), decimals);
}

bool usable(const PressureProfile& p) {
    const auto n = p.x.size();
    return n > 0 && p.mean.size() == n && p.low.size() == n && p.high.size() == n;
}

constexpr const char* none = "-";  // no slot

void loss_row(Table& table, const PointResult& point) {
    std::vector<Cell> cells = {{escaped(point.name), ""}};
    const bool slot = has_slot(point);
    for (const auto member : {&PointResult::throttle_loss,
                              &PointResult::slot_loss,
                              &PointResult::mouth_loss,
                              &PointResult::port_loss}) {
        if (member == &PointResult::slot_loss && !slot) {
            cells.push_back({none, ""});
            continue;
        }
        const double loss = point.*member;
        cells.push_back({fmt::format("{} <small>({} %)</small>",
                                     kpa(loss, 2),
                                     number_text(percent(loss / point.source_pressure), 1)),
                         ""});
    }
    cells.push_back({slot ? fixed(point.slot_mach, 2) : none, ""});
    cells.push_back({slot ? fixed(percent(point.choke_margin), 0) : none, ""});
    cells.push_back({slot ? fixed(point.slot_to_throttle, 2) : none, ""});
    table.row(cells);
}

/// The losses of each bank; nothing where there is one, or where they are known of all banks
/// together only.
std::string bank_loss_table(const SolveResult& result) {
    if (banks_of(result).size() < 2) return "";
    Table table("Losses of each bank, in kPa and in % of the pressure before the throttle",
                {"Point",
                 "Bank",
                 "Air flow<br>g/s",
                 "Throttle",
                 "Slot",
                 "Bell mouths",
                 "Runner and port",
                 "Together"});
    table.words(1);
    bool any = false;
    for (const auto& point : result.points) {
        for (const auto& bank : point.banks) {
            if (!point.converged || bank.total_loss == 0) continue;
            any = true;
            std::vector<Cell> cells = {{escaped(point.name), ""},
                                       {escaped(bank.name), "word"},
                                       {fixed(to_unit(bank.air_flow, "g/s"), 1), ""}};
            for (const auto& quantity : bank_quantities()) {
                if (quantity.line != Line::losses) continue;
                const double loss = bank.*quantity.member;
                const bool absent = quantity.member == &BankResult::slot_loss && loss == 0;
                cells.push_back(
                    {absent ? std::string(none)
                            : fmt::format("{} <small>({} %)</small>",
                                          kpa(loss, 2),
                                          number_text(percent(loss / point.source_pressure), 1)),
                     ""});
            }
            table.row(cells);
        }
    }
    return any ? table.text("Losses by point and bank") : "";
}

}  // namespace

std::string loss_table(const SolveResult& result) {
    Table table(
        "Total pressure losses, weighted with flow, in kPa and in % of the pressure before "
        "the throttle",
        {"Point",
         "Throttle",
         "Slot",
         "Bell mouths",
         "Runner and port",
         "Slot Mach,<br>peak",
         "Choke margin<br>%",
         "Slot over<br>throttle,<br>effective<br>area"});
    for (const auto& point : result.points) {
        if (point.converged) loss_row(table, point);
    }
    return table.text("Losses by point") + bank_loss_table(result);
}

std::string losses_section(const Place& place) {
    std::string text = loss_bars(place.result()) + loss_table(place.result());
    text += paragraph(
        "Choke margin is what is left to choked slot flow at the peak of the cycle. The loss of "
        "runner and port is what their walls and bends dissipate.",
        "note");
    return section(place.id("losses"), "Losses", text);
}

std::string pressure_section(const Place& place) {
    const auto& units = place.result().units;
    const std::string unit(units.in_place_of("mm"));
    Table table("Cycle mean static pressure along the parts, and its widest range at one place",
                {"Point",
                 "Part",
                 "At x = 0<br>kPa",
                 "At the far end<br>kPa",
                 "Rise<br>kPa",
                 "Widest range<br>kPa",
                 "At x<br>" + unit});
    table.words(1);
    bool any = false;
    for (const auto* told : place.result().telling()) {
        const PointResult& point = *told;
        if (!point.converged) continue;
        for (const auto& p : point.pressures) {
            if (!usable(p)) continue;
            any = true;
            std::size_t widest = 0;
            for (std::size_t i = 0; i < p.x.size(); ++i) {
                if (p.high[i] - p.low[i] > p.high[widest] - p.low[widest]) widest = i;
            }
            table.row({{escaped(point.name), ""},
                       {escaped(p.part), "word"},
                       {kpa(p.mean.front(), 2), ""},
                       {kpa(p.mean.back(), 2), ""},
                       {kpa(p.mean.back() - p.mean.front(), 2), ""},
                       {kpa(p.high[widest] - p.low[widest], 1), ""},
                       {fixed(to_unit(p.x[widest], unit), units.decimals("mm", 0)), ""}});
        }
    }
    if (!any) return "";
    const std::string text =
        chart(place,
              "pressure",
              "Static pressure along the parts",
              "Line: cycle mean of the static pressure. Shaded: its lowest and highest value over "
              "the cycle; triangles mark the runners. " +
                  x_note(place)) +
        table.text("Pressure along the parts");
    return section(place.id("pressure"), "Pressure along the parts", text);
}

/// Why a slot passes less than its mean near a throttle in line with the chamber; nothing where
/// none is.
std::string below_one(const Place& place) {
    const std::string turned = "the air has not yet turned into the slot there.";
    if (!place.source.design) return "Below 1 beside a throttle: " + turned;
    bool start = false, far = false, side = false;
    for (const auto& bank : place.source.design->intake.banks) {
        for (const auto& throttle : bank.throttles) {
            if (throttle.feeds != geometry::FeedTarget::pre_chamber) continue;
            start = start || throttle.position == geometry::FeedPosition::start;
            far = far || throttle.position == geometry::FeedPosition::end;
            side = side || throttle.position == geometry::FeedPosition::side;
        }
    }
    if (!start && !far) {
        return side ? "Below 1 beside the feed: the air runs fast along the chamber there, and its "
                      "pressure is low."
                    : "";
    }
    return std::string("Below 1 near ") +
           (start && far ? "either end, where a throttle blows in"
            : start      ? "the fed end x = 0"
                         : "the fed end, the far one") +
           ": " + turned;
}

std::string slot_section(const Place& place) {
    const bool inches = place.source.design && place.source.design->units.inches();
    const std::string unit = inches ? "in" : "mm";
    Table table("Slot flow per length along x, cycle mean",
                {"Point",
                 "Slot",
                 "Mean<br>g/(s " + unit + ")",
                 "At its x = 0 end<br>over the mean",
                 "At its far end<br>over the mean",
                 "Largest minus<br>smallest, %"});
    table.words(1);
    bool any = false;
    for (const auto* told : place.result().telling()) {
        const PointResult& point = *told;
        if (!point.converged) continue;
        for (const auto& slot : point.slots) {
            const auto shape = slot_shape(slot.x, slot.flow_per_length);
            if (!shape) continue;
            any = true;
            double mean = 0;
            for (const double flow : slot.flow_per_length) mean += flow;
            mean /= static_cast<double>(slot.flow_per_length.size());
            table.row({{escaped(point.name), ""},
                       {slot.bank.empty() ? "slot" : escaped(slot.bank), "word"},
                       {fixed(to_unit(mean, "g/s") / to_unit(1.0, unit), inches ? 2 : 3), ""},
                       {number_text(shape->start_over_mean, 3), ""},
                       {number_text(shape->far_over_mean, 3), ""},
                       {fixed(percent(shape->spread), 1), ""}});
        }
    }
    if (!any) return "";
    const std::string text =
        chart(place,
              "slot",
              "Slot flow along x",
              "Cycle mean of the air through equal lengths of the slot, over its own mean. " +
                  below_one(place) + " Below 0: it comes back through the slot. " + x_note(place)) +
        table.text("Slot flow along x");
    return section(place.id("slot"), "Slot flow along x", text);
}

std::string crank_section(const Place& place) {
    const auto numbers = cylinder_numbers(place.result());
    std::vector<std::string> heads = {"Point", "Speed<br>rpm"};
    for (const int number : numbers) heads.push_back(fmt::format("Cylinder {}<br>m/s", number));
    Table table("Peak air velocity in the runner mouths over the cycle", heads);
    std::string without;
    bool traced = false;
    for (const auto* told : place.result().telling()) {
        const PointResult& point = *told;
        if (!point.converged) continue;
        std::vector<Cell> cells = {{escaped(point.name), ""}, {rpm_text(point.speed), ""}};
        for (const int number : numbers) {
            const auto* c = find_cylinder(point, number);
            cells.push_back({c == nullptr ? "-" : fixed(c->mouth_velocity_peak, 0), ""});
        }
        table.row(cells);
        if (point.traces.empty()) {
            without += (without.empty() ? "" : ", ") + escaped(point.name);
        } else {
            traced = true;
        }
    }
    std::string text;
    if (traced) {
        text += chart(
            place,
            "crank",
            "Runner velocity and plenum pressure against crank angle",
            "Crank angle counts from the firing dead centre of cylinder 1. Move the slider, or use "
            "the arrow keys on it, to see which valves draw and how the pressure leans in the "
            "plenum. Velocity is positive into the runner. Values every 2 degrees.");
    }
    if (!without.empty()) {
        text += paragraph("No pressures and flows against crank angle are stored for " + without +
                              ": re-run with traces (<code>plenair solve case.toml --traces -o "
                              "result.h5</code>).",
                          "note");
    }
    text += table.text("Peak runner velocity");
    return section(place.id("crank"), "Crank angle", text);
}

}  // namespace plenair::html
