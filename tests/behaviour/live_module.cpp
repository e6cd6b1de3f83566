#include "cases/file/read.hpp"
#include "cases/live/answer.hpp"
#include "tests/support/browser/model.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

using Json = nlohmann::json;
using plenair::test::ask_module;
using plenair::test::in_chromium;
using plenair::test::in_node;

namespace {

/// The same requests to the model in this program.
std::vector<Json> ask_native(const std::string& case_path, const std::vector<Json>& requests) {
    plenair::LiveModel model(read_text(case_path), case_path);
    std::vector<Json> answers;
    for (const auto& request : requests) {
        answers.push_back(Json::parse(model.answer(request.dump())));
    }
    return answers;
}

/// Every number, text and digest of the answers is the same.
void check_same(const std::string& case_path, const std::vector<Json>& requests) {
    const auto there = ask_module(in_node, case_path, requests)["answers"];
    const auto here = ask_native(case_path, requests);
    REQUIRE(there.size() == here.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
        CAPTURE(case_path);
        CAPTURE(requests[i].dump());
        CHECK(there[i] == here[i]);
    }
}

}  // namespace

TEST_CASE("live module: all points of the shipped cases have the bits of this program") {
    for (const std::string name : {"hill-climb-four/case",
                                   "v6-bank/case",
                                   "marine-six/log",
                                   "marine-six/big-log",
                                   "marine-six/two-chamber"}) {
        check_same("cases/shipped/" + name + ".toml", {{{"id", 1}, {"kind", "certified"}}});
    }
}

TEST_CASE("live module: previews, pieces, bad entries and points without a state are the same") {
    check_same(
        "cases/shipped/hill-climb-four/case.toml",
        {{{"id", 1}, {"kind", "preview"}, {"point", "A4"}, {"parts", {"bias", "drawing", "trims"}}},
         {{"id", 2}, {"kind", "preview"}, {"point", "A4"}, {"set", {"slot.width=5.9 mm"}}},
         {{"id", 3}, {"kind", "preview"}, {"point", "A4"}, {"set", {"slot.width=5.9"}}},
         {{"id", 4}, {"kind", "preview"}, {"point", "A4"}, {"set", {"slot.wdth=5.9 mm"}}},
         {{"id", 5}, {"kind", "preview"}, {"point", "A4"}, {"set", {"slot.width=99999 mm"}}},
         {{"id", 6}, {"kind", "preview"}, {"point", "A4"}, {"set", {"slot.width=1e999 mm"}}},
         {{"id", 7}, {"kind", "certified"}, {"point", "A4"}, {"set", {"model.max_cycles=3"}}},
         {{"id", 8},
          {"kind", "curve"},
          {"point", "A1"},
          {"key", "plenum.area"},
          {"values", {"5000 mm2", "6000 mm2", "-1 mm2"}}}});
}

TEST_CASE(
    "live module: Chromium, offline and under a strict policy, has the bits of this program") {
    const std::string path = "cases/shipped/hill-climb-four/case.toml";
    std::vector<Json> requests;
    for (const char* point : {"A1", "A2", "A3", "A4", "A5"}) {
        requests.push_back({{"id", point}, {"kind", "certified"}, {"point", point}});
    }
    for (int i = 0; i < 10; ++i) {
        requests.push_back({{"id", i},
                            {"kind", "preview"},
                            {"point", "A4"},
                            {"set", {"slot.width=5." + std::to_string(i) + " mm"}}});
    }
    const auto found = ask_module(in_chromium, path, requests);
    CHECK(found["faults"].dump() == "[]");
    const auto here = ask_native(path, requests);
    REQUIRE(found["answers"].size() == here.size());
    for (std::size_t i = 0; i < here.size(); ++i) {
        CAPTURE(requests[i].dump());
        CHECK(found["answers"][i] == here[i]);
    }
    MESSAGE("ready after ",
            found["ready"].dump(),
            " ms; answers took ",
            found["milliseconds"].dump(),
            " ms");
}

TEST_CASE("live module: 500 jumps end in an answer or a clear error, and memory stays") {
    std::mt19937 random(20);
    const auto between = [&](double low, double high) {
        return std::to_string(std::uniform_real_distribution<>(low, high)(random));
    };
    std::vector<Json> requests;
    for (int i = 0; i < 500; ++i) {
        requests.push_back({{"id", i},
                            {"kind", "preview"},
                            {"point", i % 3 == 0 ? "A1" : "A4"},
                            {"parts", {"bias", "losses"}},
                            {"set",
                             {"slot.width=" + between(0.5, 14.0) + " mm",
                              "slot.edge_radius=" + between(0.0, 6.0) + " mm",
                              "plenum.area=" + between(1500.0, 12000.0) + " mm2",
                              "runner.length=" + between(40.0, 400.0) + " mm",
                              "throttle.bore=" + between(25.0, 90.0) + " mm",
                              "point.A4.speed=" + between(1500.0, 9500.0) + " rpm"}}});
    }
    const auto found = ask_module(in_node, "cases/shipped/hill-climb-four/case.toml", requests);
    int good = 0;
    for (const auto& answer : found["answers"]) {
        if (answer["ok"] == true) {
            ++good;
            CHECK(answer["solve"]["points"][0]["spread_percent"].is_number());
        } else {
            CAPTURE(answer.dump());
            CHECK((answer["status"] == 2 || answer["status"] == 3));
            CHECK(!answer["errors"].empty());
            CHECK(!answer.contains("solve"));
        }
    }
    MESSAGE(good, " of 500 answered with numbers");
    CHECK(good > 50);
    const auto memory = found["memory"].get<std::vector<double>>();
    CHECK(memory.back() <= *std::max_element(memory.begin(), memory.begin() + 100));
}
