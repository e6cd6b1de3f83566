#include <doctest/doctest.h>
#include <cmath>

#include "cases/file/read.hpp"
#include "cases/live/fragments.hpp"
#include "cases/study/solve.hpp"
#include "tests/support/browser/live.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

// The working model of a report in headless Chromium, from a file, with networking refused. Times
// are judged in report_live_times.cpp.

namespace {

using Json = nlohmann::json;
using plenair::test::has_model;
using plenair::test::work;

const std::string four = "cases/shipped/hill-climb-four/case.toml";

/// The report of the four, with its bands: made once.
const std::string& page_of_four() {
    static const ScratchFolder scratch;
    static const std::string page = [] {
        auto path = scratch.path("live.html");
        REQUIRE(run_plenair({"report", four, "--quiet", "-o", path}).status == 0);
        return path;
    }();
    return page;
}

/// What stood on the page of the four after a move of these entries. All in one browser, once.
const Json& after(const Json& entries) {
    static const std::vector<Json> list = {
        {{"slot.width", {"5.2", "6.4"}}, {"slot.edge_radius", {"1.3"}}, {"runner.length", {"160"}}},
        {{"slot.width", {"5.2", "6.4"}}},
        {{"slot.width", {"4.5"}}},
        {{"slot.edge_radius", {"-1"}}},
        {{"slot.edge_radius", {"abc"}}},
        {{"slot.edge_radius", {"2,5"}}}};
    static const Json found = work("moves", page_of_four(), list);
    const auto at = std::find(list.begin(), list.end(), entries);
    REQUIRE(at != list.end());
    return found["moves"].at(static_cast<std::size_t>(at - list.begin()));
}

/// What the command line computes with these options, as JSON.
Json solve_json(std::vector<std::string> options) {
    options.insert(options.begin(), {"solve", four, "--json", "--quiet"});
    const auto outcome = run_plenair(options);
    REQUIRE(outcome.status == 0);
    return Json::parse(outcome.out);
}

Json point_of(const Json& solved, const std::string& name) {
    for (const auto& point : solved["points"]) {
        if (point["name"] == name) return point;
    }
    return nullptr;
}

/// Takes the bands out of a point: in one row, to compare them as numbers.
std::vector<double> bands_of(Json& point) {
    std::vector<double> numbers;
    for (const char* name :
         {"bias_band_percent", "spread_band_percent", "air_band_percent", "slot_loss_band_pa"}) {
        numbers.push_back(point.at(name).get<double>());
        point.erase(name);
    }
    for (const auto& part : point.at("band_parts")) {
        for (const char* name : {"bias_percent", "spread_percent", "air_percent", "slot_loss_pa"}) {
            numbers.push_back(part.at(name).get<double>());
        }
    }
    point.erase("band_parts");
    return numbers;
}

/// All to the last bit but the bands, and those to 1e-8 of the largest of them.
void check_banded(Json page, Json line) {
    const auto a = bands_of(page);
    const auto b = bands_of(line);
    REQUIRE(a.size() == b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        CHECK(std::abs(a[i] - b[i]) <= 1e-8 * std::max(1.0, std::abs(b[i])));
    }
    CHECK(page == line);
}

}  // namespace

TEST_CASE("live report: the certified answer has the bits of the command line, and its figures") {
    if (!has_model()) return;
    const Json& found = after({{"slot.width", {"5.2", "6.4"}},
                               {"slot.edge_radius", {"1.3"}},
                               {"runner.length", {"160"}}});
    REQUIRE(found["state"] == "ready");
    const std::string name = found["point"];
    const std::vector<std::string> sets = {
        R"(slot.width={ x = "0, 388 mm", value = "5.2, 6.4 mm" })",
        "slot.edge_radius=1.3 mm",
        "runner.length=160 mm"};
    std::vector<std::string> options;
    for (const auto& set : sets) options.insert(options.end(), {"--set", set});
    options.insert(options.end(), {"--no-slot", "off"});  // the page does not ask for it
    const auto banded = solve_json(options);
    options.insert(options.end(), {"--bands", "off"});
    const auto plain = solve_json(options);
    // Equal as doubles: JSON holds every digit.
    CHECK(found["certified"]["solve"]["points"][0] == point_of(plain, name));
    // The ends of bands march in lanes, whose vectors differ by rounding from machine to machine.
    check_banded(found["bands"]["solve"]["points"][0], point_of(banded, name));
    CHECK(found["certified"]["solve"]["case_digest"] == plain["case_digest"]);
    CHECK(point_of(banded, name)["bias_band_percent"].get<double>() > 0);

    // Every piece is what this program draws of the same case.
    auto c = plenair::parse_case(read_text(four), "case", sets);
    std::erase_if(c.points, [&](const auto& point) { return point.name != name; });
    const auto result = plenair::solve(c, {});
    CHECK(found["opened"]["html"].size() == plenair::live_parts().size());
    for (const auto& part : plenair::live_parts()) {
        CAPTURE(part);
        CHECK(found["opened"]["html"][part] == plenair::live_fragment(part, c, result));
    }
    CHECK(found["seen"]["state"] == "certified");
    CHECK(found["banded"]["state"] == "banded");
    CHECK(found["seen"]["options"] ==
          R"(--set 'slot.width={ x = "0, 388 mm", value = "5.2, 6.4 mm" }' )"
          "--set 'slot.edge_radius=1.3 mm' --set 'runner.length=160 mm'");
}

TEST_CASE("live report: Firefox gives the same certified answer as Chromium") {
    if (!has_model()) return;
    if (!std::filesystem::exists("/usr/bin/firefox-esr")) {
        MESSAGE("SKIPPED: firefox-esr is not installed; run scripts/setup.sh test");
        return;
    }
    const Json entries = {{"slot.width", {"5.2", "6.4"}}};
    const Json& one = after(entries);
    const Json other = work("move", page_of_four(), entries, "firefox");
    REQUIRE(other["state"] == "ready");
    // Bit for bit: the module counts on nothing of the browser.
    CHECK(other["certified"]["solve"] == one["certified"]["solve"]);
    CHECK(other["seen"] == one["seen"]);
    CHECK(other["curve"].get<int>() > 0);
    // The table goes on while other points are computed: rows that both show as certified.
    REQUIRE(other["table"].size() == one["table"].size());
    int compared = 0;
    for (std::size_t row = 0; row < one["table"].size(); ++row) {
        Json a = one["table"][row], b = other["table"][row];
        const auto certified = [](const Json& cells) {
            return cells.back().get<std::string>().starts_with("certified");
        };
        if (certified(a) && certified(b)) {
            a.erase(a.size() - 1);
            b.erase(b.size() - 1);
            CHECK(a == b);
            ++compared;
        }
    }
    CHECK(compared > 0);
}

TEST_CASE("live report: figures that no longer belong to the entries look so, until all is reset") {
    if (!has_model()) return;
    const Json& found = after({{"slot.width", {"4.5"}}});
    CHECK(found["before"]["state"] == "stored");
    CHECK(found["before"]["marked"] == 0);
    CHECK(found["before"]["drawn"] == 0);
    CHECK(found["moving"]["state"] == "moving");
    CHECK(found["moving"]["marked"].get<int>() >= 8);
    CHECK(found["seen"]["options"] == "--set 'slot.width=4.5 mm'");
    CHECK(found["curve"].get<int>() >= 18);
    REQUIRE(found["table"].size() == 5);
    const auto plain = solve_json({"--set", "slot.width=4.5 mm", "--bands", "off"});
    for (const auto& row : found["table"]) {
        CAPTURE(row.dump());
        CHECK(has(row.back().get<std::string>(), "certified"));
        const double spread = point_of(plain, row[0])["spread_percent"];
        CHECK(row[row.size() - 5] == fmt::format("{:.1f}", spread));
    }
    CHECK(found["reset"] == found["before"]);
}

TEST_CASE("live report: a wrong number gets the command line's own words and no figures") {
    if (!has_model()) return;
    for (const std::string text : {"-1", "abc", "2,5"}) {
        CAPTURE(text);
        const Json& found = after({{"slot.edge_radius", {text}}});
        const auto told =
            run_plenair({"solve", four, "--quiet", "--set", "slot.edge_radius=" + text + " mm"});
        CHECK(told.status == 2);
        CHECK(found["certified"]["ok"] == false);
        CHECK(found["certified"]["status"] == 2);
        REQUIRE(found["seen"]["faults"].size() == 1);
        CHECK(has(told.err, found["seen"]["faults"][0].get<std::string>()));
        CHECK(found["seen"]["state"] == "refused");
        CHECK(found["seen"]["tiles"].dump() == "[]");
        CHECK(found["seen"]["bars"] == 0);
        CHECK(found["seen"]["losses"].dump() == "[]");
    }
}

TEST_CASE("live report: 500 jumps give figures that belong to them, or say why not") {
    if (!has_model()) return;
    const auto found = work("jumps", page_of_four(), {{"count", 500}, {"seed", 20240611}});
    MESSAGE(found["answered"] << " answered; " << found["faults"].size()
                              << " refused or not converged; " << found["kinds"].dump());
    CHECK(found["wrong"].dump() == "[]");
    CHECK(found["answered"].get<int>() + static_cast<int>(found["faults"].size()) >= 490);
    CHECK(found["answered"].get<int>() >= 400);
}

TEST_CASE("live report: the keyboard reaches and moves every control") {
    if (!has_model()) return;
    const auto found = work("keys", page_of_four());
    std::vector<int> sliders, fields;
    for (const auto& place : found["reached"]) {
        CAPTURE(place.dump());
        if (place["kind"] == "range") sliders.push_back(place["row"]);
        if (place["kind"] == "text") fields.push_back(place["row"]);
        if (place["kind"] == "range" || place["kind"] == "text") {
            CHECK(place["after"] != place["value"]);
        }
    }
    const auto rows = found["rows"].get<std::size_t>();
    CHECK(rows >= 11);
    CHECK(sliders.size() == rows);
    CHECK(fields.size() == rows);
    CHECK(found["away"] == false);
    CHECK(found["nameless"] == 0);
}

TEST_CASE(
    "live report: without scripts, WebAssembly or workers, and in print, one sentence says so") {
    if (!has_model()) return;
    const auto found = work("without", page_of_four());
    for (const std::string way : {"webassembly", "worker", "silent", "print", "scripts"}) {
        CAPTURE(way);
        CHECK(found[way]["sentence"] == true);
        CHECK(found[way]["controls"] == 0);
        CHECK(found[way]["panels"] == 5);
        CHECK(found[way]["marked"] == (way == "print" ? found[way]["marked"] : Json(0)));
    }
    CHECK(found["narrow"] == 0);
}

TEST_CASE("live report: --no-live leaves the model out, and several results have none") {
    const ScratchFolder scratch;
    const auto with = scratch.path("with.html"), without = scratch.path("without.html"),
               both = scratch.path("both.html"), result = scratch.path("a.json");
    REQUIRE(run_plenair({"solve", four, "--bands", "off", "--quiet", "-o", result}).status == 0);
    REQUIRE(run_plenair({"report", result, "--quiet", "-o", with}).status == 0);
    REQUIRE(run_plenair({"report", result, "--no-live", "--quiet", "-o", without}).status == 0);
    REQUIRE(run_plenair({"report", result, result, "--quiet", "-o", both}).status == 0);
    const auto live = read_text(with);
    if (has_model()) {
        CHECK(has(live, " 'wasm-unsafe-eval'; worker-src blob:; base-uri 'none'"));
        CHECK(has(live, "id=\"live-module\""));
        CHECK(live.size() < 1500000);
        // Drawing and sizes stand in their sections; the model's own data do not repeat them.
        const auto data = live.substr(live.find("id=\"live-data\""));
        CHECK_FALSE(has(data.substr(0, data.find("</script>")), "picture-title"));
        CHECK_FALSE(has(data.substr(0, data.find("</script>")), "From B"));
        MESSAGE("with the model " << live.size() / 1000 << " kB, without "
                                  << read_text(without).size() / 1000 << " kB");
    } else {
        CHECK(has(live, "built without the working model"));
    }
    for (const auto& page : {read_text(without), read_text(both)}) {
        CHECK(!has(page, "wasm-unsafe-eval"));
        CHECK(!has(page, "live-module"));
        CHECK(!has(page, "orking model"));
    }
}
