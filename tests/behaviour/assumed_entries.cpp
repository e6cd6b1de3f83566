// [assumed]: what nobody has confirmed is named with every result, carries its band, and is refused
// where it names nothing.

#include "cases/file/read.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/text.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using plenair::test::quick_four;
using plenair::test::two_points;

namespace {

std::string with_assumed(const std::string& lines) {
    return quick_four(two_points) + "[assumed]\n" + lines;
}

plenair::Case parsed(const std::string& lines) {
    return plenair::parse_case(with_assumed(lines), "case.toml", {});
}

std::string fault_of(const std::string& lines) {
    try {
        (void)parsed(lines);
    } catch (const plenair::InputError& error) {
        return error.messages().front();
    }
    return "accepted";
}

}  // namespace

TEST_CASE("assumed: entries are found with value, basis and band, dotted or in quotes") {
    const auto c = parsed(
        "engine.rod = \"common practice\"\n"
        "\"valve.intake.lift\" = { basis = \"measured twice\", within = \"10 %\" }\n"
        "point.exhaust_temperature = \"common practice\"\n"
        "point.mid.pressure = { basis = \"gauge of the car\", within = \"3 kPa\" }\n");
    REQUIRE(c.assumed.size() == 4);
    CHECK(c.assumed[0].key == "engine.rod");
    CHECK(c.assumed[0].value == "138 mm (5.433 in)");
    CHECK(!c.assumed[0].end);
    CHECK(c.assumed[2].value == "1000 K (default)");
    const auto low = c.assumed[1].end(false);
    const auto high = c.assumed[1].end(true);
    REQUIRE((low && high));
    CHECK(low->engine.intake.lift == near(0.9 * c.engine.intake.lift, 1e-12, 0));
    CHECK(high->engine.intake.lift == near(1.1 * c.engine.intake.lift, 1e-12, 0));
    CHECK(c.assumed[3].end(true)->points[0].pressure ==
          near(c.points[0].pressure + 3000, 1e-12, 0));
    CHECK(c.assumed[3].end(true)->points[1] == c.points[1]);
    // Every verb says so; and the digest knows of it, for bands depend on it.
    CHECK(has(c.warnings.back(), "assumed: 4 entries that nobody has confirmed"));
    CHECK(c.digest != plenair::parse_case(quick_four(two_points), "case.toml", {}).digest);
}

TEST_CASE("assumed: lines that say nothing are refused with place and remedy") {
    CHECK(has(fault_of("engine.rodd = \"x\"\n"), "did you mean engine.rod?"));
    CHECK(has(fault_of("engine.rodd = \"x\"\n"), "case.toml:"));
    CHECK(has(fault_of("nitrous.flow = \"x\"\n"), "no such entry; write the entry, or delete"));
    CHECK(has(fault_of("engine.rod = \"\"\n"), "says no basis"));
    CHECK(has(fault_of("engine.rod = 5\n"), "says no basis"));
    CHECK(has(fault_of("engine.rod = { basis = \"x\", whithin = \"5 %\" }\n"),
              "only basis and within"));
    CHECK(has(fault_of("engine.rod = { basis = \"x\", within = \"5\" }\n"), "no half width"));
    CHECK(has(fault_of("engine.rod = { basis = \"x\", within = \"0 %\" }\n"), "above 0"));
    CHECK(has(fault_of("engine.rod = { basis = \"x\", within = \"120 %\" }\n"), "below 100 %"));
    CHECK(has(fault_of("engine.rod = { basis = \"x\", within = \"80 %\" }\n"),
              "the low end of this band makes no engine"));
    CHECK(has(fault_of("valve.intake.opens = { basis = \"x\", within = \"5 %\" }\n"),
              "within = \"10 deg\""));
    CHECK(has(fault_of("fuel.name = { basis = \"x\", within = \"5 %\" }\n"), "no number"));
}

// The ends of a band are cases with all points: the second point alone was once compared with the
// first one's.
TEST_CASE("assumed: a point alone has the bands that it has among all") {
    const auto c = parsed(
        "slot.width = { basis = \"drawn\", within = \"15 %\" }\n"
        "point.pressure = { basis = \"usual\", within = \"3 kPa\" }\n");
    plenair::SolveOptions options;
    options.bands = true;
    const auto all = solve(c, options);
    for (const auto& point : all.points) {
        CAPTURE(point.name);
        options.points = {point.name};
        const auto alone = solve(c, options);
        REQUIRE(alone.points.size() == 1);
        CHECK(alone.points[0].bias_band == near(point.bias_band, 1e-3));
        CHECK(alone.points[0].air_band == near(point.air_band, 1e-3));
    }
}

TEST_CASE("assumed: a band of an entry widens the band of the shares, one without leaves it") {
    const auto plain = plenair::parse_case(quick_four(two_points), "case.toml", {});
    const auto named = parsed("slot.width = \"drawn\"\n");
    const auto wide = parsed(
        "slot.width = { basis = \"drawn\", within = \"30 %\" }\n"
        "valve.intake.closes = { basis = \"usual\", within = \"12 deg\" }\n");
    plenair::SolveOptions options;
    options.bands = true;
    const auto a = solve(plain, options);
    const auto b = solve(named, options);
    const auto c = solve(wide, options);
    for (std::size_t i = 0; i < a.points.size(); ++i) {
        CHECK(b.points[i].bias_band == a.points[i].bias_band);
        CHECK(c.points[i].bias_band > 1.05 * a.points[i].bias_band);
    }
    // Named in what is printed and stored.
    const auto text = terminal_text(c, false);
    CHECK(has(text, "Assumed, not confirmed: slot.width, valve.intake.closes;"));
    CHECK(!has(terminal_text(a, false), "ssumed"));
    const auto json = nlohmann::json::parse(json_text(c));
    // It is one of the parts of the band, by its name.
    const auto& parts = c.points[0].band_parts;
    CHECK(std::any_of(parts.begin(), parts.end(), [](const auto& part) {
        return part.name == "assumed valve.intake.closes" && part.bias > 0;
    }));
    CHECK(json.at("assumed").at(0).at("entry") == "slot.width");
    CHECK(json.at("assumed").at(1).at("within") == "12 deg");
    const auto checked = terminal_text(check(wide), false);
    CHECK(has(checked, "Assumed entries: 2 that nobody has confirmed"));
    CHECK(has(checked, "slot.width = 6 mm (0.2362 in), within 30 %: drawn"));
}
