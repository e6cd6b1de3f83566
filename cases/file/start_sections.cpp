#include "cases/file/start_writer.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/ranges.h>

namespace plenair::file {

void StartWriter::head() {
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
                  "{}, {} x {}",
                  written_.cylinders == 1
                      ? std::string("one cylinder")
                      : fmt::format("{} cylinders {}",
                                    written_.cylinders,
                                    written_.banks == 2 ? "in two banks" : "inline"),
                  geometry::format_fixed(
                      frame_.bore, request_.inches ? "in" : "mm", request_.inches ? 3 : 1),
                  geometry::format_fixed(
                      frame_.stroke, request_.inches ? "in" : "mm", request_.inches ? 3 : 1));
    draft_.plain("title = " + toml_string(title));
    draft_.rest_of("case");
}

void StartWriter::site() {
    draft_.section("[site]", "The air outside; gauge pressures stand on this barometer.");
    const Basis standard{"ISO 2533, sea level"};
    (void)draft_.entry("site.barometer", "\"101.325 kPa abs\"", standard);
    (void)draft_.entry("site.temperature", "\"20 degC\"", practice);
    (void)draft_.entry("site.humidity", "\"40 %\"", practice);
    draft_.rest_of("site");
}

void StartWriter::engine() {
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

void StartWriter::valve(const std::string& name, const std::string& cd) {
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

void StartWriter::valves() {
    valve("intake",
          "{ lift_over_diameter = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50], cd "
          "= [0.67, "
          "0.66, 0.62, 0.56, 0.50, 0.44, 0.40, 0.36, 0.32, 0.29] }");
    valve("exhaust",
          "{ lift_over_diameter = [0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50], cd "
          "= [0.70, "
          "0.71, 0.68, 0.64, 0.59, 0.54, 0.49, 0.45, 0.41, 0.37] }");
}

void StartWriter::fuel() {
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

void StartWriter::point(std::size_t i) {
    draft_.section("[[point]]", "");
    const bool liked = !speeds_stated_ && i < liked_points_.size();
    draft_.plain("name = " + (liked && liked_points_[i].contains("point.name")
                                  ? liked_points_[i].at("point.name")
                                  : fmt::format("\"P{}\"", i + 1)));
    (void)draft_.entry("point.speed",
                       toml_string(i < speeds_.size() ? speeds_[i] : "5000 rpm"),
                       speeds_stated_
                           ? Basis{}
                           : Basis{"up to a mean piston speed of 20 m/s: Heywood (1988), "
                                   "four-valve engines at most power (from memory)"});
    if (speeds_stated_) {
        draft_.count_stated("point.speed");
    }
    if (!is_stated("point.compressor_pressure")) {
        (void)draft_.entry("point.pressure",
                           toml_string(charge_pressure_),
                           {"the air outside, no loss before the throttle"},
                           "total, before the throttle");
        (void)draft_.entry(
            "point.temperature",
            frame_.boosted ? toml_string("45 degC")
                           : toml_string(draft_.written("site.temperature")),
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

void StartWriter::points() {
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

void StartWriter::answers() {
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

namespace {

/// A taper as an answer has it: "39.5 mm, narrowing to 37 mm"; other text as it is.
std::string taper_words(const std::string& toml) {
    if (!toml.starts_with('{')) {
        return toml;
    }
    Messages ignored("");
    const Value value = read_toml_value("runner.diameter", "", toml, ignored);
    std::vector<std::string> quoted;
    for (auto at = toml.find('"'); at != std::string::npos;) {
        const auto end = toml.find('"', at + 1);
        quoted.push_back(toml.substr(at + 1, end - at - 1));
        at = end == std::string::npos ? end : toml.find('"', end + 1);
    }
    if (!value.good || value.form != Form::taper || value.numbers.size() != 1 ||
        quoted.size() != 2) {
        return toml;
    }
    const bool narrows = value.ends.front() < value.number();
    const bool start_first = toml.find("start") < toml.find("end");
    return fmt::format("{}, {} to {}",
                       quoted[start_first ? 0 : 1],
                       narrows ? "narrowing" : "widening",
                       quoted[start_first ? 1 : 0]);
}

}  // namespace

StartWritten write_start(const StartRequest& request,
                         const StartPlan& plan,
                         const StartLiked& liked) {
    return StartWriter(request, plan, liked).write();
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
        {"runner-bore", taper_words(written.draft.written("runner.diameter"))},
        {"throttle", written.draft.written("throttle.bore")},
        {"slot", written.draft.written("slot.width")}};
    const auto found = texts.find(question);
    return found == texts.end() ? std::string{} : found->second;
}

}  // namespace plenair::file
