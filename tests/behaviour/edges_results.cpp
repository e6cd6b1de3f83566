// Results that an editor or another program changed, and left without a digest: what does not fit
// together is refused with its place, and what is let through upsets no verb.

#include "cases/report/json.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "tests/support/quick_four.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <sys/stat.h>

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <functional>
#include <random>
#include <string>
#include <vector>

using namespace plenair;
using Json = nlohmann::ordered_json;

namespace {

Json edited_sample() {
    auto json = Json::parse(json_text(test::sample_banks()));
    json.erase(content_digest_key);
    return json;
}

/// What reading says of the sample after an edit; empty where it is taken in.
std::string said_of(const std::function<void(Json&)>& edit) {
    const ScratchFolder scratch;
    auto json = edited_sample();
    edit(json);
    try {
        (void)read_results_json(scratch.write("a.json", json.dump()));
    } catch (const ReadError& error) {
        return error.what();
    }
    return {};
}

std::string said_of_point(const std::function<void(Json&)>& edit) {
    return said_of([&](Json& json) { edit(json["points"][0]); });
}

/// All places of a JSON value below the root, the first three of each list.
void add_places(const Json& json, const std::string& path, std::vector<std::string>& places) {
    if (!path.empty()) {
        places.push_back(path);
    }
    if (json.is_object()) {
        for (const auto& item : json.items()) {
            add_places(item.value(), path + "/" + item.key(), places);
        }
    } else if (json.is_array()) {
        for (std::size_t i = 0; i < std::min<std::size_t>(json.size(), 3); ++i) {
            add_places(json[i], path + "/" + std::to_string(i), places);
        }
    }
}

}  // namespace

TEST_CASE("edited results: the unchanged one is read") {
    CHECK(said_of([](Json&) {}).empty());
}

TEST_CASE("edited results: what does not fit together is refused, with file and point") {
    const auto refused = [](const std::string& said, const std::string& what) {
        CAPTURE(said);
        CHECK(has(said, "a.json: "));
        CHECK(has(said, what));
        CHECK(has(said, "; solve the case again"));
    };
    refused(said_of([](Json& j) { j["points"] = Json::array(); }), "holds no point");
    refused(said_of_point([](Json& p) { p["cylinders"] = Json::array(); }),
            "point 'A4': has converged, but has no cylinder");
    refused(said_of_point([](Json& p) { p["cylinders"][1]["cylinder"] = 1; }),
            "cylinder 1 stands twice or is none");
    refused(said_of_point([](Json& p) { p["cylinders"][1]["cylinder"] = 0; }),
            "cylinder 0 stands twice or is none");
    refused(said_of_point([](Json& p) { p["cylinders"][1]["cylinder"] = 1e300; }),
            "a whole number is expected");
    refused(said_of_point([](Json& p) { p["cylinders"][1]["firing_position"] = 2147483648U; }),
            "a whole number is expected");
    refused(said_of_point([](Json& p) { p["cycles"] = 9.5; }), "a whole number is expected");
    refused(said_of([](Json& j) { j["points"][1]["cylinders"].erase(1); }),
            "point 'A5': has other cylinders than point 'A4'");
    refused(said_of_point([](Json& p) {
                p["banks"][0]["cylinders_along_x"] = {1, 7};
            }),
            "cylinder 7 of bank 'left' stands twice or is none");
    refused(said_of_point([](Json& p) { p["banks"][1]["cylinders_at_start"] = {1}; }),
            "cylinder 1 at an end of bank 'right' is none of it");
    refused(said_of_point([](Json& p) { p["pressures"][0]["low_pa"].erase(0); }),
            "pressure along plenum has columns of 3 and 2 numbers");
    refused(said_of_point([](Json& p) { p["slots"][0]["x_m"] = Json::array(); }),
            "flow along the slot has columns of 0 and 2 numbers");
    refused(said_of_point([](Json& p) { p["traces"][0]["value"].push_back(1); }),
            "runner_mouth_velocity has columns of 4 and 5 numbers");
    refused(said_of([](Json& j) { j["points"][1]["name"] = "A4"; }),
            "point 'A4': another has the same name");
    refused(said_of([](Json& j) {
                for (int i = 0; i < 1000; ++i) {
                    j["points"].push_back(j["points"][0]);
                }
            }),
            "holds 1002 points, at most 1000 are read");
}

TEST_CASE("edited results: a point that has converged has its numbers; only bands may be null") {
    for (const std::string name : {"speed_rpm",
                                   "source_pressure_pa",
                                   "source_temperature_k",
                                   "air_flow_kg_s",
                                   "volumetric_efficiency",
                                   "spread_percent",
                                   "end_bias_percent"}) {
        CAPTURE(name);
        const auto said = said_of_point([&](Json& p) { p[name] = nullptr; });
        CAPTURE(said);
        CHECK(has(said, "type must be number, but is null"));
    }
    CHECK(has(said_of_point([](Json& p) { p["loss_pa"]["slot"] = nullptr; }), "but is null"));
    for (const std::string name :
         {"bias_band_percent", "spread_band_percent", "air_band_percent"}) {
        CAPTURE(name);
        CHECK(said_of_point([&](Json& p) { p[name] = nullptr; }).empty());
    }
}

TEST_CASE("results in HDF5: a pipe is refused, not waited for") {
    const ScratchFolder scratch;
    const auto pipe = scratch.path("pipe.h5");
    REQUIRE(mkfifo(pipe.c_str(), 0600) == 0);
    const auto outcome = run_plenair({"trim", pipe});
    CHECK(outcome.status == 4);
    CHECK(has(outcome.err, "pipe.h5: is a pipe; name the file itself, or use .json"));
}

TEST_CASE("edited results: a file without an end is no result") {
    const ScratchFolder scratch;
    const auto path = scratch.path("zero.json");
    std::filesystem::create_symlink("/dev/zero", path);
    const auto outcome = run_plenair({"trim", path});
    CHECK(outcome.status == 4);
    CHECK(has(outcome.err, "zero.json: "));
}

TEST_CASE("edited results: no edit of a real one upsets a verb") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", test::quick_four(test::two_points));
    const auto whole = scratch.path("whole.json");
    REQUIRE(
        run_plenair({"solve", path, "--bands", "off", "--traces", "--no-slot", "off", "-o", whole})
            .status == 0);
    auto json = Json::parse(read_text(whole));
    json.erase(content_digest_key);
    std::vector<std::string> places;
    add_places(json, "", places);
    const std::vector<Json> values{nullptr,
                                   true,
                                   -1,
                                   0,
                                   2,
                                   1e300,
                                   -1e-320,
                                   9223372036854775807,
                                   "",
                                   "\x1b[31m",
                                   "</script><script>",
                                   Json::array(),
                                   {1, 2},
                                   Json::object()};
    std::mt19937 choice(21);
    const auto one_of = [&choice](std::size_t count) { return choice() % count; };
    for (int number = 0; number < 120; ++number) {
        auto changed = json;
        const Json::json_pointer place(places[one_of(places.size())]);
        CAPTURE(place.to_string());
        if (number % 4 == 0) {
            auto& owner = changed[place.parent_pointer()];
            if (owner.is_object()) {
                owner.erase(place.back());
            } else {
                owner.erase(std::stoul(place.back()));
            }
        } else {
            changed[place] = values[one_of(values.size())];
        }
        const auto edited = scratch.write("edited.json", changed.dump());
        const std::vector<std::vector<std::string>> verbs{
            {"trim", edited},
            {"compare", whole, edited},
            {"report", edited, "--no-live", "-o", scratch.path("page.html")}};
        const auto outcome = run_plenair(verbs[one_of(verbs.size())]);
        CAPTURE(outcome.err);
        CHECK((outcome.status == 0 || (outcome.status >= 2 && outcome.status <= 4)));
        if (outcome.status == 2 || outcome.status == 4) {
            CHECK(outcome.err.size() > 10);
        }
    }
}
