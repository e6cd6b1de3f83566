#include "cases/file/start_sections.hpp"

#include "cases/file/start_rules.hpp"
#include "cases/file/toml_write.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

using std::numbers::pi;

constexpr double millimetre = 1e-3;
const Basis practice{"common practice"};

std::string in_quotes(const std::string& text) {
    return toml_string(text);
}

double disc(double diameter) {
    return pi / 4 * diameter * diameter;
}

/// Drops entries of a shipped case that no longer fit.
void drop(TomlValues& values, std::string_view prefix) {
    std::erase_if(values, [&](const auto& entry) { return entry.first.starts_with(prefix); });
}

/// Writes the sections one after the other; each needs numbers of those before it.
class Writer final {
public:
    Writer(const StartRequest& request, const StartPlan& plan, const StartLiked& liked)
        : request_(request), plan_(plan), liked_points_(liked.points) {
        written_.draft = Draft(request.inches);
        draft_.given = plan.given;
        draft_.liked = liked.values;
        draft_.like = request.like;
        find_layout();
        find_air();
        find_metal();
    }

    StartWritten write() {
        head();
        site();
        engine();
        valves();
        for (int bank = 0; bank < written_.banks; ++bank) {
            parts(bank);
        }
        fuel();
        for (const auto& section : draft_.sections_left()) {
            if (section != "point" && !section.empty()) {
                draft_.section("[" + section + "]", "");
                draft_.rest_of(section);
            }
        }
        points();
        answers();
        return std::move(written_);
    }

private:
    struct Metal {
        double mouth = 0, flange = 0, port = 0;  ///< bores of the runner [m]
        double bell_radius = 0, bell_outer = 0, protrusion = 0;
        double length = 0;  ///< of the chambers
        double plenum_area = 0, plenum_height = 0;
        double throttle = 0;  ///< bore
        double column = 0;  ///< mouth to valve
        double port_length = 0;
        bool slot = true;
    };

    void find_layout();
    void find_air();
    void find_metal();
    void find_runner();
    void find_chambers();
    void head();
    void site();
    void engine();
    void valves();
    void valve(const std::string& name, const std::string& cd);
    void parts(int bank);
    void throttle();
    void pre_chamber_and_slot();
    void plenum();
    void runner();
    void fuel();
    void points();
    void point(std::size_t i);
    void answers();

    /// Number of an entry as it will be written, in SI.
    [[nodiscard]] double known(const std::string& key, double assumed) const;
    [[nodiscard]] bool is_stated(const std::string& key) const {
        return draft_.given.contains(key) || draft_.liked.contains(key);
    }
    [[nodiscard]] std::string header(const std::string& section) const {
        return fmt::format("[{}{}]", written_.banks == 2 ? "bank." : "", section);
    }
    [[nodiscard]] Basis by_piston_speed(const std::string& within) const {
        return {fmt::format("common practice at a mean piston speed of {:.0f} m/s, at most speed",
                            frame_.piston_speed()),
                within};
    }

    const StartRequest& request_;
    const StartPlan& plan_;
    std::vector<TomlValues> liked_points_;
    StartWritten written_;
    Draft& draft_ = written_.draft;
    rules::Frame frame_;
    Metal metal_;
    bool usual_order_ = true;
    std::string order_toml_;
    std::string charge_pressure_;  ///< as in the file, without quotes
    std::vector<std::string> speeds_;
    bool speeds_stated_ = false;
};

double Writer::known(const std::string& key, double assumed) const {
    for (const auto* values : {&draft_.given, &draft_.liked}) {
        if (const auto found = values->find(key); found != values->end()) {
            Messages ignored("");
            const Value value = read_toml_value(key, key, found->second, ignored);
            return value.good ? value.number() : assumed;
        }
    }
    return assumed;
}

void Writer::find_layout() {
    const auto count_of = [](const TomlValues& values) {
        const auto found = values.find("engine.firing_order");
        return found == values.end() ? 0
                                     : 1 + static_cast<int>(std::count(
                                               found->second.begin(), found->second.end(), ','));
    };
    const int liked = count_of(draft_.liked);
    const int stated = plan_.cylinders > 0 ? plan_.cylinders : count_of(draft_.given);
    written_.cylinders = stated > 0 ? stated : liked;
    written_.banks = plan_.banks > 0 ? plan_.banks : 1;
    const bool changed = written_.cylinders != liked || written_.banks != 1;
    if (changed || draft_.given.contains("engine.pitch")) {
        for (const auto* key : {"runner.x",
                                "plenum.",
                                "pre_chamber.",
                                "slot.x",
                                "slot.length",
                                "throttle.position",
                                "throttle.x"}) {
            drop(draft_.liked, key);
        }
    }
    if (changed || !plan_.order.empty()) {
        drop(draft_.liked, "engine.firing_");
    }
    auto order = plan_.order;
    if (order.empty()) {
        order = rules::firing_order(written_.cylinders, written_.banks, usual_order_);
    } else {
        draft_.given["engine.firing_order"] = fmt::format("[{}]", fmt::join(order, ", "));
    }
    order_toml_ = fmt::format("[{}]", fmt::join(order, ", "));
    frame_.cylinders = written_.cylinders;
    frame_.per_bank = written_.cylinders / written_.banks;
    frame_.bore = known("engine.bore", 0.086);
    frame_.stroke = known("engine.stroke", 0.086);
    frame_.pitch = known("engine.pitch", draft_.drawn_length(1.1 * frame_.bore));
}

void Writer::find_air() {
    const double barometer = known("site.barometer", 101325);
    speeds_ = plan_.speed_texts;
    frame_.top_speed = plan_.speeds.empty() ? 0 : plan_.speeds.back();
    if (const auto found = draft_.given.find("point.speed"); found != draft_.given.end()) {
        speeds_ = {found->second.substr(1, found->second.size() - 2)};
        Messages checked("");
        frame_.top_speed = read_toml_value("point.speed", "", found->second, checked).number();
    }
    speeds_stated_ = !speeds_.empty();
    if (speeds_stated_ && liked_points_.size() > 1) {
        liked_points_.resize(1);
    }
    if (!speeds_stated_ && liked_points_.empty()) {
        frame_.top_speed = rules::top_speed(frame_.stroke);
        for (const double part : {0.4, 0.6, 0.8, 1.0}) {
            const double step = geometry::from_unit(100, "rpm");
            const double speed = std::round(part * frame_.top_speed / step) * step;
            speeds_.push_back(geometry::format_in(speed, "rpm") + " rpm");
        }
    }
    for (auto& point : liked_points_) {
        if (plan_.aspirated || !plan_.pressure.empty()) {
            drop(point, "point.pressure");
            drop(point, "point.exhaust_pressure");
            drop(point, "point.compressor_");
            drop(point, "point.temperature");
        }
        Messages ignored("");
        if (const auto found = point.find("point.speed"); found != point.end()) {
            const double speed =
                read_toml_value("point.speed", "", found->second, ignored).number();
            frame_.top_speed =
                speeds_stated_ ? frame_.top_speed : std::max(frame_.top_speed, speed);
        }
        if (const auto found = point.find("point.pressure");
            found != point.end() && plan_.pressure.empty()) {
            charge_pressure_ = found->second.substr(1, found->second.size() - 2);
        }
    }
    if (!plan_.pressure.empty()) {
        draft_.given["point.pressure"] = in_quotes(plan_.pressure);
        charge_pressure_ = plan_.pressure;
    }
    if (charge_pressure_.empty()) {
        charge_pressure_ = geometry::format_in(barometer, "kPa") + " kPa abs";
    }
    geometry::PressureContext outside;
    outside.barometer = barometer;
    frame_.pressure = geometry::parse_quantity(charge_pressure_, Dimension::pressure, outside)
                          .value.value_or(barometer);
    frame_.boosted = frame_.pressure > 1.1 * barometer;
    frame_.temperature =
        known("point.temperature", frame_.boosted ? 318.15 : known("site.temperature", 293.15));
}

void Writer::find_runner() {
    const int count = static_cast<int>(std::lround(known("valve.intake.count", 2)));
    const double head = known("valve.intake.head",
                              (count == 1   ? 0.45
                               : count == 2 ? 0.36
                               : count == 3 ? 0.30
                                            : 0.26) *
                                  frame_.bore);
    const double throat = known("valve.intake.throat", 0.87 * head);
    metal_.port = std::sqrt(0.87 * count) * throat;
    metal_.flange = 1.045 * metal_.port;
    metal_.mouth = known("runner.diameter", 1.07 * metal_.flange);
    if (is_stated("runner.diameter")) {
        metal_.flange = metal_.mouth;
    }
    // Mouths a hand's breadth of metal apart, whatever the pitch.
    const double room = 0.5 * (frame_.pitch - 3 * millimetre - metal_.mouth);
    metal_.bell_radius =
        known("runner.bell_radius",
              std::clamp(0.25 * metal_.mouth, millimetre, std::max(room, millimetre)));
    metal_.bell_outer = known("runner.bell_outer_diameter", metal_.mouth + 2 * metal_.bell_radius);
    metal_.protrusion = known("runner.protrusion", metal_.bell_radius + millimetre);
    metal_.port_length = known("runner.port_length", 1.05 * frame_.bore);
    metal_.column = rules::air_column(frame_);
}

void Writer::find_chambers() {
    const double ends = std::max(0.56 * frame_.pitch, 0.5 * metal_.bell_outer + 5 * millimetre);
    metal_.length = known("plenum.length",
                          draft_.drawn_length((frame_.per_bank - 1) * frame_.pitch + 2 * ends));
    const double mean = frame_.volume_flow() / rules::throttle_velocity(frame_.per_bank);
    // A shaft of 0.14 bores leaves 0.65 of the square of the bore open.
    metal_.throttle = known("throttle.bore", std::sqrt(mean / (pi / 4 - 0.14)));
    const double over_mouth = metal_.protrusion + 1.2 * metal_.mouth;
    const double swept = frame_.per_bank * frame_.swept_volume();
    const double wanted = std::max(
        {1.4 * swept / metal_.length, over_mouth * over_mouth, 1.3 * disc(metal_.throttle)});
    if (plan_.plenum_volume) {
        draft_.given["plenum.area"] =
            fmt::format("\"{} {}\"",
                        geometry::format_in(*plan_.plenum_volume / metal_.length,
                                            request_.inches ? "in2" : "mm2"),
                        request_.inches ? "in2" : "mm2");
        for (const auto* key :
             {"plenum.area", "plenum.perimeter", "plenum.height", "plenum.diameter"}) {
            drop(draft_.liked, key);
        }
    }
    metal_.plenum_area = known("plenum.area", wanted);
    metal_.plenum_height = known("plenum.height", std::sqrt(metal_.plenum_area));
}

void Writer::find_metal() {
    find_runner();
    if (plan_.feed) {
        drop(draft_.liked, "throttle.position");
        drop(draft_.liked, "throttle.x");
    }
    const bool liked_slot = request_.like.empty() || draft_.liked.contains("slot.width");
    metal_.slot = plan_.slot.value_or(liked_slot || draft_.given.contains("slot.width"));
    if (!metal_.slot) {
        drop(draft_.liked, "slot.");
        drop(draft_.liked, "pre_chamber.");
        drop(draft_.liked, "throttle.feeds");
    }
    if (!request_.like.empty() && metal_.slot && !draft_.liked.contains("slot.width")) {
        drop(draft_.liked, "throttle.feeds");
    }
    find_chambers();
}

void Writer::head() {
    draft_.plain("#:schema case.schema.json");
    draft_.remark("An editor that knows TOML schemas completes this file beside the one that");
    draft_.remark("plenair check --schema > case.schema.json writes.");
    draft_.remark("Lengths go by x along the chambers, from the wall beside cylinder 1.");
    draft_.plain("format = 1");
    draft_.section("[case]", "");
    const std::string title =
        !request_.title.empty()
            ? request_.title
            : fmt::format(
                  "{} cylinders {}, {} x {}",
                  written_.cylinders,
                  written_.banks == 2 ? "in two banks" : "inline",
                  geometry::format_fixed(
                      frame_.bore, request_.inches ? "in" : "mm", request_.inches ? 3 : 1),
                  geometry::format_fixed(
                      frame_.stroke, request_.inches ? "in" : "mm", request_.inches ? 3 : 1));
    draft_.plain("title = " + in_quotes(title));
    draft_.rest_of("case");
}

void Writer::site() {
    draft_.section("[site]", "The air outside; gauge pressures stand on this barometer.");
    const Basis standard{"ISO 2533, sea level"};
    (void)draft_.entry("site.barometer", "\"101.325 kPa abs\"", standard);
    (void)draft_.entry("site.temperature", "\"20 degC\"", practice);
    (void)draft_.entry("site.humidity", "\"40 %\"", practice);
    draft_.rest_of("site");
}

void Writer::engine() {
    draft_.section("[engine]", "");
    (void)draft_.entry("engine.firing_order",
                       order_toml_,
                       {usual_order_ ? "common practice for so many cylinders"
                                     : "made up: the trade has no usual order for this engine"},
                       written_.banks == 2 ? "even intervals; the first bank has the low numbers"
                                           : "even intervals; cylinder 1 stands at x = 0");
    (void)draft_.length("engine.bore", frame_.bore, practice);
    (void)draft_.length("engine.stroke", frame_.stroke, practice);
    (void)draft_.length("engine.rod",
                        1.75 * frame_.stroke,
                        {"1.75 strokes: Heywood (1988), section 2.2, has 1.5 to 2 (from memory)"},
                        "centre to centre");
    (void)draft_.number("engine.compression_ratio", frame_.boosted ? "9.0" : "11.5", practice);
    frame_.pitch = draft_.length(
        "engine.pitch", frame_.pitch, {"common practice: 1.1 bores"}, "cylinder to cylinder");
    draft_.rest_of("engine");
}

void Writer::valve(const std::string& name, const std::string& cd) {
    const bool intake = name == "intake";
    const auto key = [&](const char* entry) { return fmt::format("valve.{}.{}", name, entry); };
    draft_.section(fmt::format("[valve.{}]", name),
                   fmt::format("{} valves of one cylinder.", intake ? "Intake" : "Exhaust"));
    const int others = static_cast<int>(std::lround(known("valve.intake.count", 2)));
    const int count = static_cast<int>(
        std::lround(draft_.number(key("count"), intake || others > 1 ? "2" : "1", practice)));
    const double part = intake ? (count == 1   ? 0.45
                                  : count == 2 ? 0.36
                                  : count == 3 ? 0.30
                                               : 0.26)
                               : (count == 1 ? 0.36 : 0.30);
    const double head = draft_.length(
        key("head"),
        part * frame_.bore,
        {fmt::format("{:.2f} bores: Heywood (1988), table of valve sizes (from memory)", part)});
    (void)draft_.length(key("seat_width"), 0.04 * head, practice, "along the seat");
    (void)draft_.entry(key("seat_angle"), "\"45 deg\"", practice);
    (void)draft_.length(key("throat"), 0.87 * head, {"common practice: 0.87 of the head"});
    (void)draft_.length(key("stem"), (intake ? 0.155 : 0.18) * head, practice);
    (void)draft_.length(key("lift"),
                        (intake ? 0.29 : 0.32) * head,
                        {fmt::format("common practice: {} of the head", intake ? 0.29 : 0.32),
                         intake ? "10 %" : ""});
    const int opens =
        intake ? rules::event_degrees(frame_, 5, 32) : rules::event_degrees(frame_, 45, 68);
    const int closes =
        intake ? rules::event_degrees(frame_, 40, 68) : rules::event_degrees(frame_, 5, 28);
    (void)draft_.entry(key("opens"),
                       fmt::format("\"{} deg {}\"", opens, intake ? "BTDC" : "BBDC"),
                       by_piston_speed(intake ? "10 deg" : ""),
                       "at the checking lift");
    (void)draft_.entry(key("closes"),
                       fmt::format("\"{} deg {}\"", closes, intake ? "ABDC" : "ATDC"),
                       by_piston_speed(intake ? "12 deg" : "10 deg"));
    (void)draft_.entry(key("checking_lift"),
                       request_.inches ? "\"0.004 in\"" : "\"0.10 mm\"",
                       practice,
                       "events at 1.0 mm (0.040 in) are 15 to 20 deg later and earlier");
    (void)draft_.entry(
        key("cd"),
        cd,
        {intake ? "a good port, made up for the shipped cases; measure it on the bench"
                : "a usual port, made up for the shipped cases",
         intake ? "8 %" : ""});
    draft_.rest_of(fmt::format("valve.{}", name));
}

void Writer::valves() {
    valve("intake",
          "{ lift_over_diameter = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50], cd "
          "= [0.67, "
          "0.66, 0.62, 0.56, 0.50, 0.44, 0.40, 0.36, 0.32, 0.29] }");
    valve("exhaust",
          "{ lift_over_diameter = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50], cd "
          "= [0.70, "
          "0.71, 0.68, 0.64, 0.59, 0.54, 0.49, 0.45, 0.41, 0.37] }");
}

void Writer::parts(int bank) {
    if (written_.banks == 2) {
        draft_.section("[[bank]]", bank == 0 ? "Each bank has its own throttle and plenum." : "");
        draft_.plain(bank == 0 ? "name = \"first\"" : "name = \"second\"");
        std::vector<int> cylinders(static_cast<std::size_t>(frame_.per_bank));
        for (int i = 0; i < frame_.per_bank; ++i) {
            cylinders[static_cast<std::size_t>(i)] = bank * frame_.per_bank + i + 1;
        }
        draft_.plain(fmt::format("cylinders = [{}]", fmt::join(cylinders, ", ")));
    }
    throttle();
    if (metal_.slot) {
        pre_chamber_and_slot();
    }
    plenum();
    runner();
}

void Writer::throttle() {
    draft_.section(header("throttle"), "");
    (void)draft_.length(
        "throttle.bore",
        metal_.throttle,
        {fmt::format("common practice: {:.0f} m/s through the open throttle at most speed",
                     rules::throttle_velocity(frame_.per_bank)),
         "10 %"});
    (void)draft_.length("throttle.shaft", 0.14 * metal_.throttle, {"common practice: 0.14 bores"});
    (void)draft_.entry("throttle.closed_angle", "\"8 deg\"", practice);
    (void)draft_.number(
        "throttle.cd", "0.95", {"common practice; the band of the throttle coefficient covers it"});
    (void)draft_.entry(
        "throttle.cd_area", "\"open\"", {}, "open: beside shaft and plate; bore: all of it");
    (void)draft_.entry("throttle.feeds", metal_.slot ? "\"pre_chamber\"" : "\"plenum\"", {});
    if (plan_.feed) {
        draft_.given["throttle.position"] = *plan_.feed == StartFeed::end   ? "\"end\""
                                            : *plan_.feed == StartFeed::far ? "\"far\""
                                                                            : "\"side\"";
        if (*plan_.feed == StartFeed::side) {
            draft_.given["throttle.x"] =
                fmt::format("\"{}\"",
                            geometry::format_in(plan_.feed_x.value_or(0.5 * metal_.length),
                                                request_.inches ? "in" : "mm") +
                                (request_.inches ? " in" : " mm"));
        }
    }
    (void)draft_.entry("throttle.position", "\"end\"", practice, "end (x = 0), far, or side at x");
    draft_.rest_of("throttle");
}

void Writer::pre_chamber_and_slot() {
    draft_.section(header("pre_chamber"), "");
    const double length = draft_.length("pre_chamber.length", metal_.length, {"as the plenum"});
    if (!is_stated("pre_chamber.diameter")) {
        (void)draft_.area(
            "pre_chamber.area",
            std::max(0.6 * metal_.plenum_area, 1.3 * disc(metal_.throttle)),
            {"common practice: 0.6 of the plenum's, 1.3 throttle bores at least", "20 %"});
    }
    (void)draft_.entry("pre_chamber.wall_temperature", "\"325 K\"", practice);
    draft_.rest_of("pre_chamber");

    draft_.section(header("slot"), "The metering slot between pre-chamber and plenum.");
    const double margin = std::min(6 * millimetre, 0.05 * length);
    const double x = draft_.length("slot.x", margin, practice);
    const double slot_length =
        draft_.length("slot.length", length - 2 * x, {"as the chambers, less its ends"});
    const double part = frame_.boosted ? 0.022 : 0.007;
    const double width = draft_.length(
        "slot.width",
        std::clamp(
            rules::slot_width(frame_, slot_length, part, 0.85), 2 * millimetre, 25 * millimetre),
        {fmt::format("sized to take about {} % of the pressure at most speed", 100 * part),
         "15 %"});
    if (!is_stated("slot.cd")) {
        const double land = draft_.length("slot.land", 8 * millimetre, practice, "wall thickness");
        (void)draft_.length("slot.edge_radius",
                            std::min({0.3 * width, 3 * millimetre, 0.45 * land}),
                            {"common practice; it decides several % of the slot's flow", "50 %"},
                            "pre-chamber side");
        (void)draft_.length("slot.outlet_edge", 0.2 * millimetre, practice, "plenum side");
    }
    draft_.rest_of("slot");
}

void Writer::plenum() {
    draft_.section(header("plenum"), "");
    (void)draft_.length(
        "plenum.length", metal_.length, {"cylinder pitch, with room behind the last mouths"});
    if (!is_stated("plenum.diameter")) {
        (void)draft_.area("plenum.area",
                          metal_.plenum_area,
                          {"common practice: 1.4 times what the cylinders sweep, and room over the "
                           "bell mouths",
                           "25 %"});
        (void)draft_.length("plenum.height", metal_.plenum_height, {"a square section"});
    }
    (void)draft_.entry("plenum.wall_temperature", "\"325 K\"", practice);
    draft_.rest_of("plenum");
}

void Writer::runner() {
    draft_.section(header("runner"), "One value for all runners, or a list with one for each.");
    const double first = 0.5 * (metal_.length - (frame_.per_bank - 1) * frame_.pitch);
    std::vector<double> x;
    for (int i = 0; i < frame_.per_bank; ++i) {
        x.push_back(first + i * frame_.pitch);
    }
    (void)draft_.entry("runner.x",
                       draft_.lengths_toml(x),
                       {"the cylinder pitch, centred"},
                       "centres of the mouths");
    (void)draft_.length(
        "runner.length",
        std::max(metal_.column - metal_.port_length, 0.6 * metal_.port_length),
        {"quarter-wave estimate, fourth oscillation at most speed, less the port", "15 %"},
        "plenum floor to head flange");
    const auto taper = [this](double start, double end) {
        return fmt::format("{{ start = \"{}\", end = \"{}\" }}",
                           draft_.length_text(start),
                           draft_.length_text(end));
    };
    (void)draft_.entry("runner.diameter",
                       taper(metal_.mouth, metal_.flange),
                       {"common practice: from the port, a slight taper"},
                       "mouth to flange");
    (void)draft_.length("runner.port_length",
                        metal_.port_length,
                        {"common practice: 1.05 bores", "15 %"},
                        "flange to valve seat");
    (void)draft_.entry("runner.port_diameter",
                       taper(metal_.flange, metal_.port),
                       {"common practice: 0.87 of the valve throats' area at the seat"});
    (void)draft_.length(
        "runner.bell_radius", metal_.bell_radius, {"common practice: 0.25 of the mouth"});
    (void)draft_.length("runner.bell_outer_diameter", metal_.bell_outer, {"mouth and both radii"});
    (void)draft_.length(
        "runner.protrusion", metal_.protrusion, practice, "bell mouth above the floor");
    (void)draft_.length("runner.wall_clearance",
                        std::max(metal_.plenum_height - metal_.protrusion, 0.3 * metal_.mouth),
                        {"plenum height less the protrusion"},
                        "bell mouth to the opposite wall");
    (void)draft_.entry("runner.roughness", request_.inches ? "\"3.2 um\"" : "\"3.2 um\"", practice);
    (void)draft_.entry("runner.wall_temperature", "\"340 K\"", practice);
    (void)draft_.entry("runner.port_wall_temperature", "\"370 K\"", practice);
    draft_.rest_of("runner");
}

void Writer::fuel() {
    draft_.section("[fuel]",
                   "For trims with injector duty add [injector], [injector.primary] and "
                   "[injector.secondary].");
    (void)draft_.entry("fuel.name", "\"petrol\"", practice);
    (void)draft_.number("fuel.stoich", "14.6", practice);
    (void)draft_.entry("fuel.density", "\"0.745 kg/L\"", practice);
    draft_.rest_of("fuel");
    for (const std::string section : {"injector", "injector.primary", "injector.secondary"}) {
        const auto left = draft_.sections_left();
        if (std::find(left.begin(), left.end(), section) != left.end()) {
            draft_.section("[" + section + "]", "");
            draft_.rest_of(section);
        }
    }
}

void Writer::point(std::size_t i) {
    draft_.section("[[point]]", "");
    const bool liked = !speeds_stated_ && i < liked_points_.size();
    draft_.plain("name = " + (liked && liked_points_[i].contains("point.name")
                                  ? liked_points_[i].at("point.name")
                                  : fmt::format("\"P{}\"", i + 1)));
    (void)draft_.entry("point.speed",
                       in_quotes(i < speeds_.size() ? speeds_[i] : "5000 rpm"),
                       speeds_stated_
                           ? Basis{}
                           : Basis{"up to a mean piston speed of 20 m/s: Heywood (1988), "
                                   "four-valve engines at most power (from memory)"});
    if (!is_stated("point.compressor_pressure")) {
        (void)draft_.entry("point.pressure",
                           in_quotes(charge_pressure_),
                           {"the air outside, no loss before the throttle"},
                           "total, before the throttle");
        (void)draft_.entry(
            "point.temperature",
            frame_.boosted ? in_quotes("45 degC") : in_quotes(draft_.written("site.temperature")),
            {frame_.boosted ? "common practice behind a charge cooler" : "the air outside"});
    }
    (void)draft_.entry(
        "point.exhaust_pressure",
        fmt::format("\"{} kPa abs\"",
                    geometry::format_number(std::round(geometry::to_unit(
                        (frame_.boosted ? 1.0 : 1.03) * frame_.pressure, "kPa")))),
        {frame_.boosted ? "common practice before a turbine: about the pressure before the throttle"
                        : "common practice: 3 % above the air outside",
         frame_.boosted ? "20 %" : "4 %"});
    (void)draft_.entry(
        "point.exhaust_temperature", frame_.boosted ? "\"1150 K\"" : "\"1100 K\"", practice);
    (void)draft_.number("point.lambda",
                        frame_.boosted ? "0.82" : "0.88",
                        practice,
                        "start rich; a lean cylinder fails in seconds");
    draft_.rest_of("point");
}

void Writer::points() {
    draft_.plain("");
    draft_.remark("Operating points: as many as wanted, each with its own name.");
    const TomlValues liked = draft_.liked;
    const std::size_t count =
        speeds_stated_ || liked_points_.empty() ? speeds_.size() : liked_points_.size();
    for (std::size_t i = 0; i < count; ++i) {
        draft_.liked = liked;
        if (!liked_points_.empty()) {
            for (const auto& [key, toml] : liked_points_[std::min(i, liked_points_.size() - 1)]) {
                const bool own = key == "point.throttle_angle" && speeds_stated_;
                if (key != "point.name" && !own && !(speeds_stated_ && key == "point.speed")) {
                    draft_.liked[key] = toml;
                }
            }
        }
        draft_.forget("point");
        point(i);
    }
}

void Writer::answers() {
    std::string order = draft_.written("engine.firing_order");
    std::string dashes;
    for (const char c : order) {
        dashes += c == ',' ? std::string("-") : c >= '0' && c <= '9' ? std::string(1, c) : "";
    }
    written_.order = dashes;
    written_.plenum_volume = geometry::format_in(metal_.plenum_area * metal_.length, "L", 3) + " L";
    written_.feed = draft_.written("throttle.position");
    written_.speeds = fmt::format("{}", fmt::join(speeds_, ", "));
    written_.boost = frame_.boosted ? charge_pressure_ : "none";
}

}  // namespace

StartWritten write_start(const StartRequest& request,
                         const StartPlan& plan,
                         const StartLiked& liked) {
    return Writer(request, plan, liked).write();
}

std::string assumed_answer_of(const StartWritten& written, std::string_view question) {
    if (question == "cylinders") {
        return std::to_string(written.cylinders);
    }
    if (question == "banks") {
        return std::to_string(written.banks);
    }
    const std::map<std::string, std::string, std::less<>> texts = {
        {"order", written.order},
        {"plenum", written.plenum_volume},
        {"feed", written.feed},
        {"speeds", written.speeds},
        {"boost", written.boost},
        {"bore", written.draft.written("engine.bore")},
        {"stroke", written.draft.written("engine.stroke")},
        {"valves", written.draft.written("valve.intake.count")},
        {"valve-head", written.draft.written("valve.intake.head")},
        {"lift", written.draft.written("valve.intake.lift")},
        {"runner", written.draft.written("runner.length")},
        {"runner-bore", written.draft.written("runner.diameter")},
        {"throttle", written.draft.written("throttle.bore")},
        {"slot", written.draft.written("slot.width")}};
    const auto found = texts.find(question);
    return found == texts.end() ? std::string{} : found->second;
}

}  // namespace plenair::file
