#include "cases/file/start_answers.hpp"

#include "cases/file/toml_write.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {

const std::vector<StartQuestion>& start_questions() {
    static const std::vector<StartQuestion> questions = {
        {"cylinders", "Number of cylinders", "4", true},
        {"bore", "Cylinder bore", "86 mm", true},
        {"stroke", "Stroke", "86 mm", true},
        {"banks", "Banks of cylinders, each with a plenum: 1 (inline) or 2", "1"},
        {"order", "Firing order; of two banks the first has the low numbers", "1-3-4-2"},
        {"valves", "Intake valves of one cylinder", "2"},
        {"valve-head", "Head diameter of an intake valve", "34 mm"},
        {"lift", "Intake valve lift", "10.5 mm"},
        {"runner", "Runner length, plenum floor to head flange", "180 mm"},
        {"runner-bore", "Runner bore at its mouth", "45 mm"},
        {"plenum", "Volume of one plenum", "2.5 L"},
        {"throttle", "Throttle bore", "65 mm"},
        {"feed",
         "Where the throttle enters: end (at cylinder 1), far, centre, or x of a side feed",
         "end"},
        {"slot", "Width of the metering slot, or none for a plenum without pre-chamber", "6 mm"},
        {"speeds", "Crank speeds", "3500, 5500, 7000, 8500 rpm"},
        {"boost",
         "Pressure before the throttle, g (gauge) or abs; none without a compressor",
         "120 kPa g"},
    };
    return questions;
}

namespace file {
namespace {

constexpr int most_cylinders = 16;

std::string option(std::string_view question) {
    return fmt::format("--{}", question);
}

std::string_view example(std::string_view question) {
    const auto& all = start_questions();
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const auto& q) { return q.name == question; });
    return found == all.end() ? std::string_view{} : found->example;
}

std::string refusal(std::string_view question, const std::string& text, const std::string& rule) {
    return fmt::format("{} {}: {}", option(question), text, rule);
}

std::optional<int> whole(std::string_view text) {
    int number = 0;
    const auto end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    return read.ec == std::errc{} && read.ptr == end ? std::optional(number) : std::nullopt;
}

std::string without_blanks(const std::string& text) {
    const auto first = text.find_first_not_of(" \t");
    return first == std::string::npos
               ? std::string{}
               : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// A refusal with the question's own example: that of the key may be a form that only a file has.
std::string with_example(std::string text, std::string_view question) {
    const std::string lead = "write e.g. ";
    if (const auto at = text.rfind(lead); at != std::string::npos) {
        const auto own = example(question);
        const bool words = own.find(' ') != std::string_view::npos;
        text.resize(at + lead.size());
        text += words ? fmt::format("\"{}\"", own) : std::string(own);
    }
    return text;
}

/// An answer that is an entry of the case: by the rules of its key.
std::string take_entry(StartPlan& plan,
                       std::string_view question,
                       const std::string& key,
                       const std::string& text) {
    const Key& known = *find_key(key);
    const bool bare = known.kind == Kind::integer || known.kind == Kind::number;
    const std::string toml = bare ? text : toml_string(text);
    Messages messages("");
    const Value value = read_toml_value(key, option(question), toml, messages);
    if (!value.good) {
        const auto texts = messages.error_texts();
        const std::string fault =
            texts.empty() ? refusal(question, text, "write e.g. ") : texts.front();
        return with_example(fault, question) +
               (question == "slot" ? ", or none for a plenum without pre-chamber" : "");
    }
    plan.given[key] = toml;
    return {};
}

std::string take_cylinders(StartPlan& plan, const std::string& text) {
    const auto number = whole(text);
    if (!number || *number < 1 || *number > most_cylinders) {
        return refusal(
            "cylinders",
            text,
            fmt::format("must be a whole number from 1 to {}; write e.g. 4", most_cylinders));
    }
    plan.cylinders = *number;
    return {};
}

std::string take_banks(StartPlan& plan, const std::string& text) {
    const auto number = whole(text);
    if (!number || *number < 1 || *number > 2) {
        return refusal("banks", text, "must be 1 (inline) or 2; write 1 or 2");
    }
    if (*number == 2 && plan.cylinders % 2 != 0) {
        return refusal("banks",
                       text,
                       fmt::format("{} cylinders do not divide into two equal banks; write 1, or "
                                   "correct --cylinders",
                                   plan.cylinders));
    }
    plan.banks = *number;
    return {};
}

std::string take_order(StartPlan& plan, const std::string& text) {
    std::vector<int> order;
    std::string word;
    for (const char c : text + ",") {
        if (c == ',' || c == '-' || c == ' ') {
            if (!word.empty()) {
                const auto number = whole(word);
                if (!number) {
                    return refusal(
                        "order",
                        text,
                        fmt::format(
                            "\"{}\" is no cylinder; write e.g. {}", word, example("order")));
                }
                order.push_back(*number);
            }
            word.clear();
        } else {
            word += c;
        }
    }
    std::vector<std::string> faults;
    std::multiset<int> named(order.begin(), order.end());
    const int count = plan.cylinders > 0 ? plan.cylinders : static_cast<int>(order.size());
    for (int cylinder = 1; cylinder <= count; ++cylinder) {
        const auto times = named.count(cylinder);
        if (times == 0) {
            faults.push_back(fmt::format("cylinder {} is missing", cylinder));
        } else if (times > 1) {
            faults.push_back(fmt::format(
                "cylinder {} stands there {}", cylinder, times == 2 ? "twice" : "often"));
        }
    }
    for (const int cylinder : std::set<int>(order.begin(), order.end())) {
        if (cylinder < 1 || cylinder > count) {
            faults.push_back(fmt::format("there is no cylinder {} of {}", cylinder, count));
        }
    }
    if (order.empty() || !faults.empty()) {
        return refusal("order",
                       text,
                       fmt::format("{}; name every cylinder once, e.g. {}",
                                   faults.empty() ? std::string("names no cylinder")
                                                  : fmt::format("{}", fmt::join(faults, ", ")),
                                   example("order")));
    }
    plan.order = order;
    return {};
}

std::string take_quantity(std::string_view question,
                          const std::string& text,
                          geometry::Dimension dimension,
                          std::optional<double>& number) {
    const auto outcome = geometry::parse_quantity(text, dimension);
    if (!outcome.value) {
        return refusal(question, text, fmt::format("{}; {}", outcome.problem, outcome.remedy));
    }
    if (!(*outcome.value > 0)) {
        return refusal(
            question, text, fmt::format("must be above 0; write e.g. {}", example(question)));
    }
    number = *outcome.value;
    return {};
}

std::string take_feed(StartPlan& plan, const std::string& text) {
    if (text == "end" || text == "far") {
        plan.feed = text == "end" ? StartFeed::end : StartFeed::far;
        return {};
    }
    if (text == "centre" || text == "center" || text == "side") {
        plan.feed = StartFeed::side;
        return {};
    }
    std::optional<double> x;
    const bool number = text.find_first_of("0123456789") != std::string::npos;
    auto fault = number ? take_quantity("feed", text, geometry::Dimension::length, x)
                        : refusal("feed",
                                  text,
                                  "must be end, far, centre, or the place of a side feed; write "
                                  "e.g. end or \"120 mm\"");
    if (fault.empty()) {
        plan.feed = StartFeed::side;
        plan.feed_x = x;
    }
    return fault;
}

/// "45 mm", or "39.5 mm, narrowing to 37 mm" from mouth to flange.
std::string take_runner_bore(StartPlan& plan, const std::string& text) {
    const std::string key = "runner.diameter";
    const auto to = text.find(" to ");
    if (to == std::string::npos) {
        return take_entry(plan, "runner-bore", key, text);
    }
    std::string start = text.substr(0, to);
    for (const std::string_view word : {"narrowing", "widening"}) {
        if (start.ends_with(word)) {
            start.resize(start.size() - word.size());
        }
    }
    start = without_blanks(start.substr(0, start.find_last_not_of(" ,") + 1));
    const std::string end = without_blanks(text.substr(to + 4));
    // Each by itself first, so that what is wrong is said of what was written.
    for (const auto& bore : {start, end}) {
        StartPlan scratch;
        if (auto fault = take_entry(scratch, "runner-bore", key, bore); !fault.empty()) {
            return fault;
        }
    }
    plan.given[key] =
        fmt::format("{{ start = {}, end = {} }}", toml_string(start), toml_string(end));
    return {};
}

std::string take_speeds(StartPlan& plan, const std::string& text) {
    const auto outcome = geometry::parse_list(text, geometry::Dimension::speed);
    if (!outcome.values) {
        if (outcome.problem == "more than one number") {
            return refusal(
                "speeds",
                text,
                "a range is no list; write the speeds one by one, e.g. 3000, 6000, 9000 rpm");
        }
        return refusal("speeds", text, fmt::format("{}; {}", outcome.problem, outcome.remedy));
    }
    auto speeds = *outcome.values;
    std::sort(speeds.begin(), speeds.end());
    const double most = geometry::from_unit(25000, "rpm");
    const double least = geometry::from_unit(200, "rpm");
    if (speeds.front() < least || speeds.back() > most) {
        return refusal("speeds", text, "must lie between 200 and 25000 rpm; check the number");
    }
    if (std::adjacent_find(speeds.begin(), speeds.end()) != speeds.end()) {
        return refusal("speeds", text, "names a speed twice; leave it out");
    }
    plan.speeds = speeds;
    plan.speed_texts.clear();
    for (const double speed : speeds) {
        plan.speed_texts.push_back(geometry::format_in(speed, "rpm") + " rpm");
    }
    return {};
}

std::string take_boost(StartPlan& plan, const std::string& text) {
    if (text == "none") {
        plan.aspirated = true;
        return {};
    }
    StartPlan scratch;
    if (auto fault = take_entry(scratch, "boost", "point.pressure", text); !fault.empty()) {
        return fault;
    }
    plan.pressure = text;
    return {};
}

}  // namespace

std::string take_answer(StartPlan& plan, std::string_view question, const std::string& typed) {
    const std::string text = without_blanks(typed);
    if (text.empty()) {
        return fmt::format("{}: is empty; write e.g. {}", option(question), example(question));
    }
    if (question == "cylinders") {
        return take_cylinders(plan, text);
    }
    if (question == "banks") {
        return take_banks(plan, text);
    }
    if (question == "order") {
        return take_order(plan, text);
    }
    if (question == "plenum") {
        return take_quantity("plenum", text, geometry::Dimension::volume, plan.plenum_volume);
    }
    if (question == "feed") {
        return take_feed(plan, text);
    }
    if (question == "runner-bore") {
        return take_runner_bore(plan, text);
    }
    if (question == "speeds") {
        return take_speeds(plan, text);
    }
    if (question == "boost") {
        return take_boost(plan, text);
    }
    if (question == "slot") {
        plan.slot = text != "none";
        return text == "none" ? std::string{} : take_entry(plan, question, "slot.width", text);
    }
    static const std::map<std::string, std::string, std::less<>> keys = {
        {"bore", "engine.bore"},
        {"stroke", "engine.stroke"},
        {"valves", "valve.intake.count"},
        {"valve-head", "valve.intake.head"},
        {"lift", "valve.intake.lift"},
        {"runner", "runner.length"},
        {"throttle", "throttle.bore"}};
    return take_entry(plan, question, keys.find(question)->second, text);
}

std::string take_set(StartPlan& plan, const std::string& set) {
    const auto equals = set.find('=');
    const std::string key = without_blanks(set.substr(0, equals));
    const std::string text =
        equals == std::string::npos ? "" : without_blanks(set.substr(equals + 1));
    const Key* known = find_key(key);
    if (key == "format" || key == "case.title") {
        return fmt::format("--set {}: start writes {} itself; {}",
                           set,
                           key,
                           key == "format" ? "leave it out" : "say it with --title");
    }
    if (known == nullptr || known->kind == Kind::list) {
        const auto near = nearest_key(key);
        return fmt::format("--set {}: unknown key {}; {}",
                           set,
                           key,
                           near.empty() ? "docs/case-file.md lists all keys"
                                        : fmt::format("did you mean {}?", near));
    }
    Messages messages("");
    // As after --set of the other verbs: text that is no TOML value is text.
    for (const auto& toml : {text, toml_string(text)}) {
        Messages tried("");
        if (!text.empty() && read_toml_value(key, key, toml, tried).good) {
            plan.given[key] = toml;
            return {};
        }
    }
    (void)read_toml_value(key, key, toml_string(text), messages);
    const auto texts = messages.error_texts();
    return fmt::format("--set {}", texts.empty() ? set : texts.front());
}

}  // namespace file
}  // namespace plenair
