#include "cases/file/read.hpp"
#include "cases/file/vary.hpp"
#include "cases/report/csv.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "geometry/error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>

/// One value of a list, a case from standard input, one point alone, sense of injectors and cams.
namespace {

using namespace plenair;

std::string four(const std::string& more = "") {
    return test::quick_four(test::two_points) + more;
}

std::string refusal(const std::string& text, const std::vector<std::string>& sets = {}) {
    try {
        (void)parse_case(text, "case.toml", sets);
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++found;
    }
    return found;
}

std::string shell(const std::string& command) {
    const auto outcome = run_process("/bin/sh", {"-c", command});
    return outcome.out + outcome.err;
}

}  // namespace

TEST_CASE("entry: one value of a list is set by its number, one for all is written out first") {
    const Case base = parse_case(four(), "case.toml", {});
    const Case one = parse_case(four(), "case.toml", {"runner.length.4=300 mm"});
    const auto& before = base.intake.banks[0].runners;
    const auto& after = one.intake.banks[0].runners;
    REQUIRE(after.size() == 4);
    CHECK(after[3].length - after[3].port_length == near(0.3, 1e-12));
    for (std::size_t i = 0; i < 3; ++i) CHECK(after[i].length == before[i].length);
    CHECK(parse_case(four(), "case.toml", {"runner.x.2=150 mm"}).intake.banks[0].runners[1].x ==
          near(0.15, 1e-12));
    CHECK(has(refusal(four(), {"runner.length.5=300 mm"}), "there are 4 of them"));
    CHECK(has(refusal(four(), {"runner.entry_loss.2=0.3"}), "set runner.entry_loss for all first"));
}

TEST_CASE("entry: compare and sweep vary one value of a list") {
    const auto variation = parse_variation("runner.length.4=250, 300 mm");
    const auto cases = vary_case(parse_case(four(), "case.toml", {}), variation);
    REQUIRE(cases.size() == 2);
    CHECK(cases[1].c.intake.banks[0].runners[3].length >
          cases[0].c.intake.banks[0].runners[3].length);
    const ScratchFolder folder;
    const auto path = folder.write("case.toml",
                                   four("\n[sweep]\n\"runner.length.4\" = { from = \"200 mm\", to "
                                        "= \"300 mm\", steps = 2 }\n"));
    const auto run =
        run_plenair({"sweep", path, "--folder", folder.path("sw"), "--csv", folder.path("sw.csv")});
    CHECK(run.status == 0);
    CHECK(has(read_text(folder.path("sw.csv")), "runner.length.4_mm"));
    CHECK(has(run.out, "no other variant has less spread and more air"));
    CHECK(has(run.out, "runner.length.4 = "));
}

TEST_CASE("sweep: ends with its best and with the reasons of its losers") {
    const ScratchFolder folder;
    const auto path = folder.write(
        "case.toml", four("\n[sweep]\n\"slot.width\" = [\"4 mm\", \"6 mm\", \"60 mm\"]\n"));
    const auto run = run_plenair({"sweep", path, "--folder", folder.path("sw")});
    CHECK(run.status == 0);
    CHECK(has(run.out, "1 variants could not be built"));
    CHECK(has(run.out, "1 x, first variant 3: "));
    CHECK(has(run.out, "worst spread"));
    const auto json = nlohmann::json::parse(
        run_plenair({"sweep", path, "--folder", folder.path("sw"), "--json"}).out);
    CHECK(json.at("failures").size() == 1);
    CHECK(json.at("best").size() >= 1);
    CHECK(json.at("best")[0].at("inputs").contains("slot.width"));
}

TEST_CASE("solve: --point computes one point, and names those that there are") {
    const ScratchFolder folder;
    const auto path = folder.write("case.toml", four());
    const auto run =
        run_plenair({"solve", path, "--point", "top", "--bands", "off", "--json", "--quiet"});
    CHECK(run.status == 0);
    const auto json = nlohmann::json::parse(run.out);
    REQUIRE(json.at("points").size() == 1);
    CHECK(json.at("points")[0].at("name") == "top");
    const auto wrong = run_plenair({"solve", path, "--point", "bottom"});
    CHECK(wrong.status == 2);
    CHECK(has(wrong.err, "no point 'bottom'; the points are mid, top"));
}

TEST_CASE("case: - is standard input, for verbs that read it twice too") {
    const ScratchFolder folder;
    const auto path = folder.write("case.toml", four());
    const std::string program = std::string("'") + PLENAIR_EXECUTABLE + "'";
    CHECK(has(shell("cat '" + path + "' | " + program + " check -"), "Derived numbers"));
    CHECK(has(shell("echo 'format = 2' | " + program + " check -"), "standard input:1:"));
    CHECK(has(shell("cat '" + path + "' | " + program +
                    " compare - --vary 'slot.width=5, 6 mm' --point top"),
              "6 mm"));
    CHECK(has(shell(program + " compare - - </dev/null"), "name the other one"));
    CHECK(has(shell(program + " sweep - </dev/null"), "--folder"));
}

TEST_CASE("case: a faulty or misspelt barometer is one message") {
    auto text = four();
    const auto at = text.find("barometer = ");
    REQUIRE(at != std::string::npos);
    auto faulty = text;
    faulty.replace(at, text.find('\n', at) - at, "barometer = \"93.9 kPa\"");
    const std::vector<std::string> gauge{"point.mid.pressure=22 psi g"};
    CHECK(count(refusal(faulty, gauge), "\n") <= 1);  // behind the only one
    CHECK(has(refusal(faulty, gauge), "site.barometer"));
    auto misspelt = text;
    misspelt.replace(at, 9, "barometre");
    const auto said = refusal(misspelt, gauge);
    CHECK(has(said, "did you mean site.barometer?"));
    CHECK_FALSE(has(said, "without a barometer"));
}

TEST_CASE("case: events say how they are written") {
    CHECK(has(refusal(four(), {"valve.intake.opens=5 BTDC"}), "write \"5 deg BTDC\""));
    CHECK(has(refusal(four(), {"valve.intake.opens=5 btdc"}), "write \"5 deg BTDC\""));
    CHECK(has(refusal(four(), {"valve.intake.closes=38 degrees ABDC"}), "write \"38 deg ABDC\""));
    CHECK(has(refusal(four(), {"valve.intake.opens=5 deg btdc"}), "write \"5 deg BTDC\""));
    // Which dead centre is meant cannot be known.
    CHECK(has(refusal(four(), {"valve.intake.opens=5"}),
              "write 5 deg and behind it BTDC, ATDC, BBDC or ABDC"));
}

TEST_CASE("schema: takes the points of nitrous as the reader does") {
    const auto schema = nlohmann::json::parse(json_schema());
    const auto& points = schema.at("properties").at("nitrous").at("properties").at("points");
    CHECK(points.at("type") == "array");
    CHECK(points.at("items").at("type") == "string");
}

TEST_CASE("csv: a closed runner of a bench has no row") {
    auto result = test::sample_bench();
    REQUIRE_FALSE(result.set_ups.empty());
    auto& set_up = result.set_ups.front();
    set_up.converged = true;
    set_up.flow_per_runner = {0, 0.2, 0};
    result.set_ups.resize(1);
    const auto text = csv_text(result);
    CHECK(count(text, "\n") == 2);  // the head and one row
    CHECK(has(text, ",2,200,"));
}

TEST_CASE("case: events without their lift say what the lift would change") {
    auto text = four();
    for (auto at = text.find("checking_lift"); at != std::string::npos;
         at = text.find("checking_lift")) {
        text.erase(at, text.find('\n', at) - at);
    }
    const Case c = parse_case(text, "case.toml", {});
    const auto warned = std::find_if(c.warnings.begin(), c.warnings.end(), [](const auto& w) {
        return has(w, "checking_lift, valve.exhaust.checking_lift: not given");
    });
    REQUIRE(warned != c.warnings.end());
    CHECK(has(*warned, "1.27 mm (0.05 in)"));
    CHECK(has(*warned, "deg longer and passes"));
    CHECK(has(*warned, "write checking_lift = \"1.27 mm\""));
    for (const auto& warning : parse_case(four(), "case.toml", {}).warnings) {
        CHECK_FALSE(has(warning, "checking_lift"));
    }
}

TEST_CASE("case: what does not fit is said with place and remedy") {
    const auto warned = [](const std::vector<std::string>& sets) {
        std::string all;
        for (const auto& warning : parse_case(four(), "case.toml", sets).warnings) {
            all += warning + "\n";
        }
        return all;
    };
    CHECK(has(warned({"throttle.bore=90 mm"}), "exceeds the section of the pre_chamber"));
    CHECK(has(warned({"throttle.bore=90 mm", "throttle.position=side", "throttle.x=200 mm"}),
              "is wider than the side of the pre_chamber"));
    CHECK(has(warned({"engine.pitch=120 mm"}), "engine.pitch"));
    auto low = four();
    low.erase(low.find("height = \"52 mm\""), 16);
    std::string wide;
    for (const auto& warning : parse_case(low, "case.toml", {"slot.width=75 mm"}).warnings) {
        wide += warning + "\n";
    }
    CHECK(has(wide, "wide at x 6.0 mm, the pre_chamber there only"));
    CHECK(has(wide, "across as a circle of its section"));
    CHECK(has(warned({"injector.primary.flow=100 cc/min", "injector.secondary.flow=300 cc/min"}),
              "duty_limit = 85 %"));
}

TEST_CASE("check: prints the cam card and the resonances") {
    const auto result = check(parse_case(four(), "case.toml", {}));
    const auto number = [&result](const std::string& key) {
        const auto found = std::find_if(result.numbers.begin(),
                                        result.numbers.end(),
                                        [&](const auto& n) { return n.key == key; });
        REQUIRE(found != result.numbers.end());
        return found->value;
    };
    const double degree = 3.14159265358979323846 / 180;
    // The shipped four states 28 BTDC to 64 ABDC at 0.10 mm.
    CHECK(number("cam.intake_duration_0_10mm") == near(272 * degree, 1e-9));
    CHECK(number("cam.intake_centreline_0_10mm") == near(108 * degree, 1e-9));
    CHECK(number("cam.intake_duration_1_27mm") < number("cam.intake_duration_1_00mm"));
    // Half wave of a plenum of 400 mm: a/(2 L) (Kinsler et al. 2000, ch. 9); the air is at the mean
    // of 318 K and 322 K, a = sqrt(1.399 x 287.05 x 320) = 358.5 m/s.
    CHECK(number("resonance.temperature") == near(320, 1e-12));
    CHECK(number("plenum.half_wave") == near(358.5 / 0.8, 2e-3));
    // Four cylinders draw twice a turn: 448 Hz at 13443 rpm.
    CHECK(number("plenum.half_wave_speed") ==
          near(number("plenum.half_wave") * 3.14159265358979, 1e-12));
}
