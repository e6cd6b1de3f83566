#include "tests/support/random_engine.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace plenair::test {

namespace {

/// Ends of a range in the ordinary and in the wide set.
struct Ends {
    double low, high, wide_low, wide_high;
};

std::uint64_t mixed(std::uint64_t x) {
    // Steele, Lea and Flood 2014, the finaliser of their generator.
    x += 0x9e3779b97f4a7c15ULL;
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31U);
}

class Drawing final {
public:
    Drawing(EngineRange range, std::uint64_t seed, const std::map<std::string, double>& fixed)
        : fixed_(fixed) {
        engine_.seed = seed;
        engine_.range = range;
    }

    RandomEngine finish() &&;

private:
    [[nodiscard]] bool wide() const { return engine_.range == EngineRange::wide; }

    /// Position of a draw in its range, noted down under its name.
    double position(const std::string& name, double plain) {
        std::uint64_t h = mixed(engine_.seed);
        for (const char c : name) {
            h = mixed(h ^ static_cast<unsigned char>(c));
        }
        const auto fixed = fixed_.find(name);
        const double at = fixed == fixed_.end() ? static_cast<double>(h >> 11U) * 0x1.0p-53
                                                : std::clamp(fixed->second, 0.0, 1.0);
        engine_.draws.push_back({name, plain, at, {}});
        return at;
    }
    double noted(double value, const char* unit) {
        engine_.draws.back().value = fmt::format("{:.5g} {}", value, unit);
        return value;
    }
    /// A number, evenly spread between the ends of its range.
    double number(const std::string& name, const char* unit, const Ends& e) {
        const double at = position(name, 0.5);
        const double low = wide() ? e.wide_low : e.low;
        const double high = wide() ? e.wide_high : e.high;
        return noted(low + at * (high - low), unit);
    }
    /// A number whose logarithm is evenly spread.
    double scale(const std::string& name, const char* unit, const Ends& e) {
        const double at = position(name, 0.5);
        const double low = wide() ? e.wide_low : e.low;
        const double high = wide() ? e.wide_high : e.high;
        return noted(low * std::pow(high / low, at), unit);
    }
    /// One of several; the first is the plain one.
    std::string choice(const std::string& name, const std::vector<std::string>& of) {
        const double at = position(name, 0.0);
        const auto i =
            std::min(static_cast<std::size_t>(at * static_cast<double>(of.size())), of.size() - 1);
        engine_.draws.back().value = of[i];
        return of[i];
    }
    /// True for this share of the engines; the plain one is without.
    bool chance(const std::string& name, double share) {
        const bool yes = position(name, 0.0) >= 1 - share;
        engine_.draws.back().value = yes ? "yes" : "no";
        return yes;
    }

    // Values as they stand in the file, in the units of the drawing.
    [[nodiscard]] std::string length(double mm) const {
        return inches_ ? fmt::format("\"{:.5f} in\"", mm / 25.4) : fmt::format("\"{:.6g} mm\"", mm);
    }
    [[nodiscard]] std::string lengths(const std::vector<double>& mm) const {
        std::string list;
        for (const double value : mm) {
            list += (list.empty() ? "" : ", ") +
                    (inches_ ? fmt::format("{:.5f}", value / 25.4) : fmt::format("{:.6g}", value));
        }
        return fmt::format("\"{} {}\"", list, inches_ ? "in" : "mm");
    }
    [[nodiscard]] std::string area(double mm2) const {
        return inches_ ? fmt::format("\"{:.6g} in2\"", mm2 / 645.16)
                       : fmt::format("\"{:.6g} mm2\"", mm2);
    }
    /// Section that changes straight from end to end.
    [[nodiscard]] std::string section(double length_mm, double start, double end) const {
        if (start == end) {
            return area(start);
        }
        const double unit = inches_ ? 645.16 : 1;
        return fmt::format("{{ x = {}, value = \"{:.6g}, {:.6g} {}\" }}",
                           lengths({0, length_mm}),
                           start / unit,
                           end / unit,
                           inches_ ? "in2" : "mm2");
    }
    [[nodiscard]] std::string pressure(double kpa) const {
        return inches_ ? fmt::format("\"{:.5g} psi abs\"", kpa / 6.894757)
                       : fmt::format("\"{:.5g} kPa abs\"", kpa);
    }

    void table(const std::string& header) { engine_.text += "\n" + header + "\n"; }
    void entry(const std::string& key, const std::string& value) {
        engine_.text += fmt::format("{} = {}\n", key, value);
    }

    void draw_engine();
    void draw_valve(const std::string& name, const Ends& opens, const Ends& closes);
    void draw_banks();
    void draw_bank(int bank, int of, const std::vector<int>& cylinders);
    void draw_throttles(const std::string& prefix, const std::string& kind, double length_mm);
    void draw_slot(const std::string& prefix, const std::string& kind, double length_mm, int n);
    void draw_runners(const std::string& prefix, int n, double length_mm);
    void draw_point();

    const std::map<std::string, double>& fixed_;
    RandomEngine engine_;
    bool inches_ = false;
    int cylinders_ = 4;
    double bore_ = 86;  // mm
    double throats_ = 30;  // mm, bore of all intake throats of a cylinder as one hole
    double stroke_ = 86;  // mm
    double mouth_ = 40, runner_end_ = 38;  // mm
};

void Drawing::draw_engine() {
    inches_ = choice("units", {"mm", "mm", "mm", "inches"}) == "inches";
    const double at = position("cylinders", 3.5 / 12);
    cylinders_ = 1 + std::min(static_cast<int>(at * 12), 11);
    noted(cylinders_, "");
    engine_.text = fmt::format("format = 1\n\n[case]\ntitle = \"{} {}, {} cylinders\"\n",
                               wide() ? "wide" : "ordinary",
                               engine_.seed,
                               cylinders_);
    table("[engine]");
    // A random order: sorting by drawn keys.
    std::vector<std::pair<double, int>> keys;
    for (int c = 1; c <= cylinders_; ++c) {
        keys.emplace_back(position(fmt::format("order of cylinder {}", c), c / 16.0), c);
    }
    std::sort(keys.begin(), keys.end());
    std::string order;
    for (const auto& [key, c] : keys) {
        order += fmt::format("{}{}", order.empty() ? "" : ", ", c);
    }
    entry("firing_order", "[" + order + "]");
    if (cylinders_ > 1 && chance("uneven firing", 0.15)) {
        const double shift = number("uneven firing by", "of the interval", {0.1, 0.45, 0.1, 0.6});
        std::string angles;
        for (int c = 0; c < cylinders_; ++c) {
            const double even = 720.0 * c / cylinders_;
            angles += fmt::format(
                "{}{:.4g}", c == 0 ? "" : ", ", even + (c % 2 == 1 ? shift * 720 / cylinders_ : 0));
        }
        entry("firing_angles", "\"" + angles + " deg\"");
    }
    bore_ = number("bore", "mm", {70, 105, 40, 200});
    const double stroke = bore_ * number("stroke/bore", "", {0.65, 1.45, 0.5, 1.8});
    stroke_ = stroke;
    entry("bore", length(bore_));
    entry("stroke", length(stroke));
    entry("rod", length(stroke * number("rod/stroke", "", {1.45, 2.5, 1.3, 3})));
    entry("compression_ratio",
          fmt::format("{:.4g}", number("compression ratio", "", {8.5, 15, 5, 18})));
    if (chance("no exhaust port", 0.2)) {
        entry("exhaust_port", "\"0 mm\"");
    }
    draw_valve("intake", {-5, 40, -30, 60}, {15, 75, 0, 100});
    draw_valve("exhaust", {35, 80, 20, 100}, {-2, 42, -20, 60});
}

void Drawing::draw_valve(const std::string& name, const Ends& opens, const Ends& closes) {
    const bool intake = name == "intake";
    table("[valve." + name + "]");
    const int count = std::stoi(choice(name + " valves", {"2", "1"}));
    const double share = intake ? number("intake head/bore", "", {0.31, 0.40, 0.25, 0.45})
                                : number("exhaust head/bore", "", {0.26, 0.36, 0.2, 0.42});
    const double head = share * bore_;
    const double throat = 0.86 * head;
    if (intake) {
        throats_ = throat * std::sqrt(count);
    }
    entry("count", fmt::format("{}", count));
    entry("head", length(head));
    entry("seat_width", length(0.04 * head));
    entry("throat", length(throat));
    entry("stem", length(0.16 * head));
    entry("lift", length(head * number(name + " lift/head", "", {0.13, 0.38, 0.06, 0.45})));
    entry(
        "opens",
        fmt::format(
            "\"{:.4g} deg {}\"", number(name + " opens", "deg", opens), intake ? "BTDC" : "BBDC"));
    entry("closes",
          fmt::format("\"{:.4g} deg {}\"",
                      number(name + " closes", "deg", closes),
                      intake ? "ABDC" : "ATDC"));
    if (chance(name + " events at 1 mm", 0.15)) {
        entry("checking_lift", length(std::min(1.0, 0.05 * head)));
    }
    entry("cd", "{ lift_over_diameter = [0.05, 0.15, 0.25, 0.4], cd = [0.67, 0.62, 0.50, 0.42] }");
}

void Drawing::draw_banks() {
    std::vector<int> all;
    for (int c = 1; c <= cylinders_; ++c) {
        all.push_back(c);
    }
    if (cylinders_ < 4 || cylinders_ % 2 == 1 || !chance("two banks", 0.3)) {
        draw_bank(0, 1, all);
        return;
    }
    const bool alternate = chance("banks alternate", 0.5);
    for (int bank = 0; bank < 2; ++bank) {
        std::vector<int> cylinders;
        for (int c = 1; c <= cylinders_; ++c) {
            if (alternate ? c % 2 == 1 - bank : (c > cylinders_ / 2) == (bank == 1)) {
                cylinders.push_back(c);
            }
        }
        draw_bank(bank, 2, cylinders);
    }
}

void Drawing::draw_bank(int bank, int of, const std::vector<int>& cylinders) {
    const int n = static_cast<int>(cylinders.size());
    const std::string prefix = of > 1 ? "bank." : "";
    if (of > 1) {
        table("[[bank]]");
        entry("name", bank == 0 ? "\"left\"" : "\"right\"");
        std::string list;
        for (const int c : cylinders) {
            list += fmt::format("{}{}", list.empty() ? "" : ", ", c);
        }
        entry("cylinders", "[" + list + "]");
    }
    // Banks are alike: a draw of the same name gives the same number.
    const std::string kind =
        choice("feed", {"slot", "log", "tapered slot", "pieces", "holes", "slot"});
    runner_end_ =
        std::clamp(throats_ * number("runner/throats", "", {0.72, 1.3, 0.5, 1.8}), 12.0, 140.0);
    mouth_ = runner_end_ * number("runner taper", "", {1, 1.4, 0.8, 1.6});
    const double pitch =
        std::max(mouth_ * 1.3,
                 bore_ * (n == 1 ? number("length of one", "bores", {2, 7, 1.2, 10})
                                 : number("pitch/bore", "", {0.6, 1.5, 0.5, 2.5})));
    constexpr double longest = 4900;  // a case file takes chambers up to 5 m
    const double along = std::clamp(n * pitch, 60.0, longest);
    draw_throttles(prefix, kind, along);
    if (kind != "log") {
        table("[" + prefix + "pre_chamber]");
        const double start = scale("pre-chamber area", "mm2", {1200, 6000, 500, 40000});
        const double end = chance("pre-chamber tapers", 0.5)
                               ? start * number("pre-chamber taper", "", {0.4, 1, 0.2, 1.5})
                               : start;
        entry("length", length(along));
        entry("area", section(along, start, end));
        if (chance("pre-chamber wall", 0.25)) {
            entry("wall_temperature", "\"330 K\"");
        }
        draw_slot(prefix, kind, along, n);
    }
    table("[" + prefix + "plenum]");
    entry("length", length(along));
    // Wide enough for its mouths.
    const double least = 1.15 * 0.7854 * mouth_ * mouth_;
    entry("area", area(std::max(scale("plenum area", "mm2", {2100, 9000, 1000, 80000}), least)));
    if (chance("plenum wall", 0.25)) {
        entry("wall_temperature", "\"330 K\"");
    }
    draw_runners(prefix, n, along);
}

void Drawing::draw_throttles(const std::string& prefix, const std::string& kind, double length_mm) {
    const double bore = scale("throttle bore", "mm", {42, 85, 18, 140});
    const std::string position =
        choice("throttle position", {"end", "end", "side", "far", "both ends", "two sides"});
    const std::string feeds = kind == "log" ? "\"plenum\"" : "\"pre_chamber\"";
    const bool two = position == "both ends" || position == "two sides";
    const double shaft = std::stod(choice("shaft", {"10", "5", "0"})) * std::min(1.0, bore / 42);
    const double side = number("side feed at", "of the length", {0.15, 0.85, 0.02, 0.98});
    for (int i = 0; i < (two ? 2 : 1); ++i) {
        table(two ? "[[" + prefix + "throttle]]" : "[" + prefix + "throttle]");
        entry("bore", length(two ? 0.75 * bore : bore));
        entry("shaft", length(shaft));
        entry("feeds", feeds);
        if (position == "side" || position == "two sides") {
            entry("position", "\"side\"");
            entry("x", length(length_mm * (i == 0 ? side : 1 - side)));
        } else {
            entry("position", position == "far" || i == 1 ? "\"far\"" : "\"end\"");
        }
    }
}

void Drawing::draw_slot(const std::string& prefix,
                        const std::string& kind,
                        double length_mm,
                        int n) {
    table("[" + prefix + "slot]");
    const double width = scale("slot width", "mm", {1.5, 9, 0.3, 30});
    if (chance("slot cd stated", 0.2)) {
        entry("cd", fmt::format("{:.3g}", number("slot cd", "", {0.4, 0.9, 0.3, 1})));
    } else {
        const double land = scale("slot land", "mm", {0.6, 17, 0.3, 30});
        entry("land", length(land));
        // A radius cannot be deeper than the land.
        entry("edge_radius",
              length(std::min(number("slot edge radius", "mm", {0, 2, 0, 5}), 0.95 * land)));
    }
    if (kind == "slot" || kind == "tapered slot") {
        const double from = 0.02 * length_mm;
        const double slot_length = length_mm - 2 * from;
        entry("x", length(from));
        entry("length", length(slot_length));
        if (kind == "slot") {
            entry("width", length(width));
        } else {
            const double end = width * number("slot taper", "", {0.5, 2, 0.2, 4});
            entry("width",
                  fmt::format("{{ x = {}, value = {} }}",
                              lengths({0, slot_length}),
                              lengths({width, std::min(end, 60.0)})));
        }
    } else if (kind == "pieces") {
        const double second = width * number("second piece's width", "", {0.5, 2, 0.2, 4});
        entry("pieces",
              fmt::format("[{{ x = {}, length = {}, width = {} }}, {{ x = {}, length = {}, width "
                          "= {} }}]",
                          length(0.05 * length_mm),
                          length(0.3 * length_mm),
                          length(width),
                          length(0.6 * length_mm),
                          length(0.3 * length_mm),
                          length(std::min(second, 60.0))));
    } else {
        table("[" + prefix + "slot.holes]");
        const int each = std::stoi(choice("holes a runner", {"1", "2"}));
        std::vector<double> x;
        for (int i = 0; i < n * each; ++i) {
            x.push_back((i + 0.5) * length_mm / (n * each));
        }
        entry("x", lengths(x));
        entry(
            "diameter",
            length(std::min(scale("hole", "mm", {4.5, 30, 2, 50}), 0.9 * length_mm / (n * each))));
    }
}

void Drawing::draw_runners(const std::string& prefix, int n, double length_mm) {
    table("[" + prefix + "runner]");
    std::vector<double> x;
    for (int i = 0; i < n; ++i) {
        x.push_back((i + 0.5) * length_mm / n);
    }
    entry("x", lengths(x));
    const double long_one = scale("runner length", "mm", {80, 500, 40, 1500});
    if (n > 1 && chance("runners differ", 0.2)) {
        std::vector<double> lengths_mm;
        for (int i = 0; i < n; ++i) {
            lengths_mm.push_back(long_one * (1 + 0.2 * i / n));
        }
        entry("length", lengths(lengths_mm));
    } else {
        entry("length", length(long_one));
    }
    entry("diameter",
          fmt::format("{{ start = {}, end = {} }}", length(mouth_), length(runner_end_)));
    entry("port_length", length(number("port", "mm", {15, 115, 0, 150})));
    entry("bell_radius", length(std::stod(choice("bell", {"5", "0", "2", "12"}))));
    if (chance("bend", 0.2)) {
        entry("bend_loss", "0.2");
    }
    if (chance("runner wall", 0.3)) {
        entry("wall_temperature", "\"340 K\"");
        entry("port_wall_temperature", "\"370 K\"");
        entry("roughness", "\"3.2 um\"");
    }
}

void Drawing::draw_point() {
    if (chance("motored", 0.06)) {
        table("[combustion]");
        entry("motored", "\"on\"");
    }
    if (chance("tee", 0.1)) {
        table("[model]");
        entry("mouth_law", "\"tee\"");
    }
    table("[[point]]");
    const double source = scale("source pressure", "kPa", {20, 400, 15, 590});
    const double back = source * number("exhaust/source pressure", "", {0.7, 1.4, 0.5, 2});
    entry("name", "\"P\"");
    // A case file takes mean piston speeds up to 50 m/s.
    const double fastest = 49.9 * 30'000 / stroke_;
    const double speed = std::min(number("speed", "rpm", {1500, 9000, 300, 16000}), fastest);
    entry("speed", fmt::format("\"{:.5g} rpm\"", speed));
    entry("pressure", pressure(source));
    entry("temperature",
          fmt::format("\"{:.4g} K\"", number("source temperature", "K", {255, 375, 230, 430})));
    entry("exhaust_pressure", pressure(std::clamp(back, 10.1, 595.0)));
    entry("exhaust_temperature",
          fmt::format("\"{:.5g} K\"", number("exhaust temperature", "K", {700, 1200, 400, 1500})));
    entry("lambda", fmt::format("{:.3g}", number("lambda", "", {0.7, 1.3, 0.5, 2})));
    if (chance("throttled", 0.4)) {
        entry("throttle_angle",
              fmt::format("\"{:.4g} deg\"", number("plate angle", "deg", {12, 82, 8.5, 88})));
    }
}

RandomEngine Drawing::finish() && {
    draw_engine();
    draw_banks();
    draw_point();
    // Banks draw the same names: keep the first of each.
    std::vector<DrawnValue> once;
    for (auto& draw : engine_.draws) {
        if (std::none_of(
                once.begin(), once.end(), [&](const auto& d) { return d.name == draw.name; })) {
            once.push_back(std::move(draw));
        }
    }
    engine_.draws = std::move(once);
    return std::move(engine_);
}

}  // namespace

std::vector<DrawnValue> RandomEngine::remarkable() const {
    std::vector<DrawnValue> those;
    std::copy_if(draws.begin(), draws.end(), std::back_inserter(those), [](const DrawnValue& d) {
        return d.position != d.plain;
    });
    return those;
}

RandomEngine random_engine(EngineRange range,
                           std::uint64_t seed,
                           const std::map<std::string, double>& fixed) {
    return Drawing(range, seed, fixed).finish();
}

}  // namespace plenair::test
