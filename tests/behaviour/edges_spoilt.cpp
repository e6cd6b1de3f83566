// Every entry of every shipped case, and of cases made for this in inches, with pieces, curves,
// plans and readings, spoilt in some sixty ways: each is refused at its line with a remedy, or
// taken; what a remedy says to write is taken.
//
// PLENAIR_SPOILT_EVERY: 1: all of them, some 60,000; 11 unless told otherwise: every eleventh
// PLENAIR_SPOILT_TABLE: file to which a line is added for each message or acceptance

#include "cases/file/measured.hpp"
#include "cases/file/plans.hpp"
#include "cases/file/read.hpp"
#include "cases/study/visible_text.hpp"
#include "geometry/error.hpp"
#include "tests/support/remedy.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/spoil.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <vector>

using namespace plenair;

namespace {

namespace fs = std::filesystem;

using test::messages_of;
using test::Read;

void read_as_case(const std::string& text) {
    (void)parse_with_plans(text, "case.toml", {});
}

Read as_measured(const std::string& path) {
    return [c = read_case(path, {})](const std::string& text) {
        (void)parse_measured(text, "no-such-folder/measured.toml", c);
    };
}

void note(const std::string& file, const std::string& how, const std::string& what) {
    static const char* const table = std::getenv("PLENAIR_SPOILT_TABLE");
    if (table != nullptr) {
        std::ofstream(table, std::ios::app) << file << '\t' << how << '\t' << what << '\n';
    }
}

std::size_t stride() {
    const char* text = std::getenv("PLENAIR_SPOILT_EVERY");
    return text == nullptr ? 11 : std::max<std::size_t>(1, std::stoul(text));
}

/// What each message must be by itself.
void check_message(const std::string& message, std::size_t lines) {
    CAPTURE(message);
    CHECK(message == visible_text(message, LineEnds::written_out));
    CHECK(message.size() < 1400);
    CHECK(test::line_of(message) >= 1);
    CHECK(test::line_of(message) <= lines + 1);
    CHECK(test::has_remedy(message));
}

/// Follows the remedy of an only message: it must not stay as it is, and where only the way of
/// writing was wrong all must be well then. An example is right by itself, not always beside the
/// other entries.
void check_remedy(const Read& read, const test::Spoilt& one, const std::string& message) {
    const auto better = test::mended(one.text, message);
    if (!better) {
        return;
    }
    const auto left = messages_of(read, *better);
    CAPTURE(message);
    CAPTURE((left.empty() ? std::string() : left.front()));
    CHECK(std::find(left.begin(), left.end(), message) == left.end());
    const bool example = has(message, "write e.g. ") || has(message, "did you mean ");
    CHECK((!one.same_number || example || left.empty()));
}

/// @returns how many were tried
std::size_t spoil(const std::string& path, const Read& read) {
    const std::string name = fs::path(path).filename().string();
    const std::string text = read_text(path);
    REQUIRE_FALSE(text.empty());
    REQUIRE(messages_of(read, text).empty());
    const auto all = test::spoilt(text);
    const std::size_t every = stride();
    std::size_t tried = 0;
    for (std::size_t i = name.size() % every; i < all.size(); i += every, ++tried) {
        const auto& one = all[i];
        CAPTURE(path);
        CAPTURE(one.how);
        const auto began = std::chrono::steady_clock::now();
        const auto messages = messages_of(read, one.text);
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
        CHECK(took.count() < 5);
        CHECK(messages.size() <= 21);
        if (messages.empty()) {
            note(path, one.how, "taken");
        }
        const auto lines =
            static_cast<std::size_t>(std::count(one.text.begin(), one.text.end(), '\n'));
        for (const auto& message : messages) {
            note(path, one.how, message);
            check_message(message, lines);
        }
        if (messages.size() == 1) {
            check_remedy(read, one, messages.front());
        }
    }
    return tried;
}

const std::string shipped = std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/";
const std::string made = std::string(PLENAIR_SOURCE_DIR) + "/tests/behaviour/";

}  // namespace

TEST_CASE("spoilt entries: of every shipped case and its readings") {
    std::size_t tried = 0;
    for (const auto& entry : fs::recursive_directory_iterator(shipped)) {
        const std::string path = entry.path().string();
        if (path.ends_with("measured.toml")) {
            auto name = path;
            const auto at = name.rfind("measured.toml");
            name = name[at - 1] == '-' ? name.substr(0, at - 1) + ".toml"
                                       : name.substr(0, at) + "case.toml";
            tried += spoil(path, as_measured(name));
        } else if (path.ends_with(".toml")) {
            tried += spoil(path, read_as_case);
        }
    }
    CHECK(tried > 600);
}

TEST_CASE("spoilt entries: in inches, of plans, pieces and banks") {
    for (const std::string name : {"spoilt/inch.toml",
                                   "spoilt/plans.toml",
                                   "spoilt/rig.toml",
                                   "layouts/v2-two-banks.toml"}) {
        CHECK(spoil(made + name, read_as_case) > 100);
    }
}

TEST_CASE("spoilt plans: check refuses what choose, tolerance and sweep would refuse") {
    const ScratchFolder scratch;
    const std::string plans = read_text(made + "spoilt/plans.toml");
    const auto said = [&](const std::string& good, const std::string& bad) {
        auto text = plans;
        text.replace(text.find(good), good.size(), bad);
        const auto outcome = run_plenair({"check", scratch.write("case.toml", text)});
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        return outcome.err;
    };
    CHECK(has(said("to = \"3 mm\", step", "to = \"banana\", step"),
              "case.toml:173:46: slot.edge_radius = banana: "));
    CHECK(has(said("[choose.vary]", "[choose.sway]"), "unknown key choose.sway; "));
    CHECK(has(said("most = \"5 kPa\"", "most = \"5 kPa abs\""), "leave out \"abs\""));
    CHECK(has(said("edge_radius = \"0.1 mm\"", "edge_radius = \"2.5 mm\""),
              "is not smaller than the dimension itself (2 mm)"));
    CHECK(has(said("method = \"grid\"", "method = \"paired\""), "paired lists are equally long"));
    CHECK(run_plenair({"check", made + "spoilt/plans.toml", "--quiet"}).status == 0);
}

TEST_CASE("remedies that once misled") {
    const std::string four = shipped + "hill-climb-four/case.toml";
    const auto said = [&](const std::string& verb, const std::vector<std::string>& more) {
        std::vector<std::string> words{verb, four};
        words.insert(words.end(), more.begin(), more.end());
        const auto outcome = run_plenair(words);
        CHECK(outcome.status == 2);
        return outcome.err;
    };
    const ScratchFolder scratch;
    const auto many = run_plenair(
        {"compare",
         scratch.write("case.toml",
                       read_text(four) + "[sweep]\n\"slot.width\" = { from = \"3 mm\", to = \"9 "
                                         "mm\", step = \"0.001 mm\" }\n")});
    CHECK(many.status == 2);
    CHECK(has(many.err, "take fewer steps, or use sweep, which takes more"));
    CHECK_FALSE(has(many.err, "--limit"));
    CHECK(has(said("check", {"--set", "throttle.2.bore=60 mm"}),
              "the file has one throttle; write throttle.bore"));
    CHECK(has(said("check", {"--set", "slot.width=1e308"}), "write e.g. \"6.0 mm\""));
    CHECK(has(said("check", {"--set", "valve.intake.closes=64abdc"}), "write \"64 deg ABDC\""));
}
