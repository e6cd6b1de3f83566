#include "cases/file/build.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace plenair::file {

void refuse(Messages& messages, const Value& value, const std::string& rule) {
    if (!value.good) {
        return;  // What is wrong with it has been said.
    }
    messages.error(value.place, fmt::format("{} = {}: {}", value.shown, value.text, rule));
}

void caution(Messages& messages, const Value& value, const std::string& remark) {
    messages.warning(value.place, fmt::format("{} = {}: {}", value.shown, value.text, remark));
}

std::string shown_key(const Scope& scope, std::string_view key) {
    return scope.shown.empty() ? std::string(key) : fmt::format("{}.{}", scope.shown, key);
}

geometry::Profile profile_of(const Value& value, double offset) {
    if (value.form != Form::stations) {
        return geometry::Profile::constant(value.number());
    }
    auto x = value.x;
    for (double& station : x) {
        station += offset;
    }
    return geometry::Profile::stations(x, value.numbers);
}

void check_cover(Messages& messages, const Value* value, double length) {
    if (!value || value->form != Form::stations || length <= 0) {
        return;
    }
    constexpr double slack = 1e-9;
    if (value->x.front() > slack || value->x.back() < length - slack) {
        const bool start = value->x.front() > slack;
        refuse(messages,
               *value,
               fmt::format("no value for {}-{}; add a station at {}",
                           messages.bare_length(start ? 0 : value->x.back()),
                           messages.length(start ? value->x.front() : length),
                           messages.length(start ? 0 : length)));
    }
    if (value->x.back() > length + slack) {
        refuse(messages,
               *value,
               fmt::format("station {} lies beyond the part's {}; check both",
                           messages.length(value->x.back()),
                           messages.length(length)));
    }
}

geometry::Throttle build_throttle(const Scope& scope, bool has_pre_chamber, Messages& messages) {
    geometry::Throttle throttle;
    throttle.bore = scope.number("throttle.bore");
    throttle.shaft = scope.number("throttle.shaft");
    throttle.closed_angle = scope.number("throttle.closed_angle");
    throttle.cd = scope.number("throttle.cd");
    throttle.x = scope.number("throttle.x");
    throttle.recovery = scope.number("throttle.recovery");
    const Value* table = scope.good("throttle.cd_table");
    if (table) {
        throttle.cd_table = geometry::CdTable{table->x, table->numbers};
    }
    throttle.cd_area =
        scope.word("throttle.cd_area") == "bore" ? geometry::CdArea::bore : geometry::CdArea::open;
    for (const auto* given : {scope.find("throttle.cd"), scope.find("throttle.cd_table")}) {
        if (given && !scope.find("throttle.cd_area")) {
            refuse(messages,
                   *given,
                   "no reference area; write cd_area = \"open\" or cd_area = \"bore\"");
        }
    }
    const auto feeds = scope.word("throttle.feeds");
    const bool pre = feeds.empty() ? has_pre_chamber : feeds == "pre_chamber";
    throttle.feeds = pre ? geometry::FeedTarget::pre_chamber : geometry::FeedTarget::plenum;
    if (pre && !has_pre_chamber && scope.good("throttle.feeds")) {
        refuse(messages,
               *scope.good("throttle.feeds"),
               "there is no [pre_chamber]; add it or write feeds = \"plenum\"");
    }
    const auto position = scope.word("throttle.position");
    const bool side = position == "side";
    throttle.position = side                ? geometry::FeedPosition::side
                        : position == "far" ? geometry::FeedPosition::end
                                            : geometry::FeedPosition::start;
    const Value* given = scope.find("throttle.position");
    if (const Value* x = scope.find("throttle.x"); x && !side && (!given || given->good)) {
        refuse(messages, *x, "only a side feed has a place along x; write position = \"side\"");
    } else if (side && !x) {
        refuse(messages, *scope.good("throttle.position"), "no place; write x = \"165 mm\"");
    }
    if (const Value* recovery = scope.good("throttle.recovery");
        recovery && side && recovery->number() > 0) {
        refuse(messages,
               *recovery,
               "of a throttle in the side wall; write position = \"start\" or \"far\", or leave it "
               "out");
    }
    const Value* shaft = scope.good("throttle.shaft");
    const Value* bore = scope.good("throttle.bore");
    if (shaft && bore && throttle.shaft >= throttle.bore) {
        refuse(messages,
               *shaft,
               fmt::format("not smaller than the bore ({}); check both",
                           messages.length(throttle.bore)));
    } else if (const Value* cd = scope.good("throttle.cd");
               cd && shaft && bore && throttle.cd_area == geometry::CdArea::bore) {
        const double on_open = throttle.cd * throttle.bore_area() / throttle.wide_open_area();
        if (on_open > 1) {
            refuse(
                messages,
                *cd,
                fmt::format("on the bore area it is Cd {:.2f} on the open area, which exceeds 1; "
                            "check cd_area",
                            on_open));
        }
    }
    return throttle;
}

bool refuse_below_stop(Messages& messages, const Value& angle, const geometry::Throttle& throttle) {
    constexpr double slack = 1e-12;
    if (angle.numbers.empty() || *std::min_element(angle.numbers.begin(), angle.numbers.end()) >=
                                     throttle.closed_angle - slack) {
        return false;
    }
    refuse(messages,
           angle,
           fmt::format("below throttle.closed_angle ({} deg); open it further",
                       geometry::format_in(throttle.closed_angle, "deg")));
    return true;
}

geometry::Chamber build_chamber(const Scope& scope, const std::string& part, Messages& messages) {
    const std::string at = part + ".";
    geometry::Chamber chamber;
    chamber.length = scope.number(at + "length");
    const Value* area = scope.find(at + "area");
    const Value* diameter = scope.find(at + "diameter");
    if (area && diameter) {
        refuse(messages,
               *diameter,
               fmt::format("beside {}; give one of them", shown_key(scope, at + "area")));
    } else if (!area && !diameter) {
        messages.error(scope.place_of_section(part),
                       fmt::format("{}: missing; write area = \"6400 mm2\" or diameter = \"64 mm\"",
                                   shown_key(scope, at + "area")));
    }
    if (diameter && diameter->good) {
        geometry::Runner round;
        round.diameter = profile_of(*diameter);
        chamber.area = round.area();
    } else {
        chamber.area = profile_of(scope.value(at + "area"));
    }
    if (scope.good(at + "length")) {
        check_cover(messages, scope.good(at + "area"), chamber.length);
        check_cover(messages, scope.good(at + "diameter"), chamber.length);
    }
    chamber.height = scope.maybe(at + "height");
    chamber.perimeter = scope.maybe(at + "perimeter");
    chamber.roughness = scope.maybe(at + "roughness");
    chamber.wall_temperature = scope.maybe(at + "wall_temperature");
    chamber.open_start = scope.word(at + "feed") == "open";
    chamber.open_end = scope.word(at + "feed") == "open far";
    chamber.outlet_loss = scope.maybe(at + "outlet_loss");
    return chamber;
}

}  // namespace plenair::file
