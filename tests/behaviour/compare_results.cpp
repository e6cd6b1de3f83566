#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

// Two revisions of one design: what changed in, what changed out.

namespace {

using nlohmann::json;

const std::string hill_climb = "cases/shipped/hill-climb-four/case.toml";

/// Results of the hill-climb case as it stands and with a slot of 5 mm, solved once.
struct Revisions {
    ScratchFolder scratch;
    std::string six = scratch.path("six.json"), five = scratch.path("five.h5"),
                five_json = scratch.path("five.json");
    Revisions() {
        solve({"-o", six});
        solve({"-o", five, "--set", "slot.width=5 mm"});
        solve({"-o", five_json, "--set", "slot.width=5 mm"});
    }
    static void solve(const std::vector<std::string>& more) {
        std::vector<std::string> arguments{"solve", hill_climb, "--bands", "off", "--quiet"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        REQUIRE(run_plenair(arguments).status == 0);
    }
};

const Revisions& revisions() {
    static const Revisions two;
    return two;
}

json compared(const std::string& before, const std::string& after) {
    const auto outcome = run_plenair({"compare", before, after, "--json"});
    REQUIRE(outcome.status == 0);
    return json::parse(outcome.out);
}

}  // namespace

TEST_CASE("compare results: a slot of 5 in place of 6 mm is the one input that changed") {
    const json result = compared(revisions().six, revisions().five);
    REQUIRE(result.at("inputs").size() == 1);
    const json& input = result.at("inputs").at(0);
    CHECK(input.at("key") == "slot.width");
    CHECK(has(input.at("before").get<std::string>(), "6 mm"));
    CHECK(has(input.at("after").get<std::string>(), "5 mm"));
    CHECK(result.at("warnings").empty());
}

TEST_CASE("compare results: every output beyond 0.1 % is listed, and none that moved less") {
    const json result = compared(revisions().six, revisions().five_json);
    const json before = json::parse(read_text(revisions().six));
    const json after = json::parse(read_text(revisions().five_json));
    std::size_t expected = 0;
    for (std::size_t p = 0; p < before.at("points").size(); ++p) {
        const auto loss = [&](const json& side) {
            return side.at("points").at(p).at("loss_pa").at("slot").get<double>();
        };
        const double change = (loss(after) - loss(before)) / loss(before);
        expected += std::abs(change) > 0.001 ? 1 : 0;
    }
    std::size_t listed = 0;
    for (const auto& output : result.at("outputs")) {
        CHECK(std::abs(output.at("change_percent").get<double>()) > 0.1);
        listed += output.at("quantity") == "slot_loss" ? 1 : 0;
    }
    CHECK(listed == expected);
    // 12 numbers of a point and 5 of each of 4 cylinders, at 5 points.
    CHECK(result.at("compared") == 5 * (12 + 4 * 5));
}

TEST_CASE("compare results: a bias that moves by less than its band is said to be inside") {
    const json result = compared(revisions().six, revisions().five);
    int inside = 0;
    for (const auto& output : result.at("outputs")) {
        if (output.at("of") != "mean air") {
            CHECK(output.at("band_percent").is_null());
            continue;
        }
        const double change = std::abs(output.at("change_percent").get<double>());
        CHECK(output.at("band_percent").get<double>() == near(0.5, 1e-12));
        CHECK(output.at("inside_band").get<bool>() == (change <= 0.5));
        inside += output.at("inside_band").get<bool>() ? 1 : 0;
    }
    CHECK(inside > 0);
    const auto text = run_plenair({"compare", revisions().six, revisions().five});
    CHECK(has(text.out, "inside the band of +/-0.5 %"));
    CHECK(has(text.out, "slot.width: 6 mm (0.2362 in) -> 5 mm (0.1969 in)"));
    CHECK(has(text.out, "Cautions"));
}

TEST_CASE("compare results: HDF5 and JSON of one solve are the same result") {
    const json result = compared(revisions().five, revisions().five_json);
    CHECK(result.at("inputs").empty());
    CHECK(result.at("outputs").empty());
}

TEST_CASE("compare results: two case files are solved and compared") {
    const ScratchFolder scratch;
    auto text = read_text(hill_climb);
    const std::string six = "width = \"6.0 mm\"";
    REQUIRE(has(text, six));
    text.replace(text.find(six), six.size(), "width = \"5.0 mm\"");
    const auto other = scratch.write("five.toml", text);
    const json cases = compared(hill_climb, other);
    const json files = compared(revisions().six, revisions().five);
    CHECK(cases.at("inputs") == files.at("inputs"));
    CHECK(cases.at("outputs").size() == files.at("outputs").size());
    CHECK(cases.at("summary") == files.at("summary"));
}

TEST_CASE("compare results: different engines are warned of") {
    const ScratchFolder scratch;
    const auto other = scratch.path("bored.json");
    Revisions::solve({"-o", other, "--set", "engine.bore=88 mm"});
    const auto outcome = run_plenair({"compare", revisions().six, other});
    CHECK(outcome.status == 0);
    CHECK(has(outcome.err, "warning: these are different engines (engine.bore)"));
    const auto six = run_plenair(
        {"compare", revisions().six, "cases/shipped/marine-six/two-chamber.toml", "--json"});
    CHECK(has(six.err, "these are different engines"));
    CHECK(has(six.err, "point A1 is only in"));
}

TEST_CASE("compare results: CSV has a row for every change") {
    const ScratchFolder scratch;
    const auto path = scratch.path("changes.csv");
    const auto outcome =
        run_plenair({"compare", revisions().six, revisions().five, "-o", path, "--quiet"});
    CHECK(outcome.status == 0);
    const json result = compared(revisions().six, revisions().five);
    const auto text = read_text(path);
    const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
    CHECK(lines == 1 + result.at("inputs").size() + result.at("outputs").size());
}

TEST_CASE("compare results: files of other kinds and formats are refused by name") {
    const ScratchFolder scratch;
    auto later = json::parse(read_text(revisions().six));
    later["format"] = "plenair.solve/2";
    later["version"] = "9.9.9";
    const auto newer = scratch.write("newer.json", later.dump());
    const auto outcome = run_plenair({"compare", revisions().six, newer});
    CHECK(outcome.status == 4);
    CHECK(has(outcome.err, "newer.json: holds plenair.solve/2, written by plenair 9.9.9"));
    later["format"] = "plenair.solve/1";
    later.erase("content_digest");  // changed on purpose
    const auto other = scratch.write("other.json", later.dump());
    const auto by_other = run_plenair({"compare", revisions().six, other});
    CHECK(by_other.status == 0);
    CHECK(has(by_other.err, "computed by plenair 0.1.0 and 9.9.9"));
    const auto broken = scratch.write("broken.json", "{\"format\": ");
    CHECK(run_plenair({"compare", revisions().six, broken}).status == 4);
    CHECK(run_plenair({"compare", revisions().six, scratch.path("none.h5")}).status == 4);
}

TEST_CASE("compare results: options of the other form are refused together") {
    const auto outcome = run_plenair({"compare",
                                      revisions().six,
                                      revisions().five,
                                      "--vary",
                                      "slot.width=3, 4 mm",
                                      "--point",
                                      "A4",
                                      "--set",
                                      "slot.width=4 mm"});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err, "--vary beside two files"));
    CHECK(has(outcome.err, "--point beside two files"));
    CHECK(has(outcome.err, "a result cannot be changed"));
    const auto nothing = run_plenair({"compare", hill_climb});
    CHECK(nothing.status == 2);
    CHECK(has(nothing.err, "nothing to compare: neither --vary nor [sweep]"));
}
