// Whatever plenair stores and reads again carries a digest of its content: damage is never taken
// in.

#include "cases/base/sha256.hpp"
#include "cases/base/sha256_stream.hpp"
#include "cases/report/json.hpp"
#include "cases/store/file_seal.hpp"
#include "cases/store/read_solve_file.hpp"
#include "cases/store/store.hpp"
#include "cases/store/sweep_codec.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "cases/study/quantities.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cstddef>
#include <fstream>
#include <functional>
#include <iterator>
#include <string>

using namespace plenair;
using plenair::test::sample_solve;
using plenair::test::sweep_case;

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// How many of the damaged texts, one bit flipped in each, were taken in.
std::size_t taken_in(const std::string& whole,
                     std::size_t stride,
                     const std::function<void(const std::string&)>& read) {
    std::size_t taken = 0, tried = 0;
    for (std::size_t at = 0; at < whole.size(); at += stride) {
        std::string damaged = whole;
        damaged[at] = static_cast<char>(damaged[at] ^ (1 << (at / stride % 8)));
        ++tried;
        try {
            read(damaged);
            ++taken;
            MESSAGE("taken in: bit flipped at byte " << at);
        } catch (const ReadError&) {
            // As it should be.
        }
    }
    CHECK(tried > 100);
    return taken;
}

std::string message_of(const std::function<void()>& read) {
    try {
        read();
    } catch (const ReadError& error) {
        return error.what();
    }
    return {};
}

SweepInfo sample_info() {
    SweepInfo info;
    info.title = "made for a test";
    info.case_digest = "sha256:00";
    info.digest = "sha256:01";
    info.case_text = "format = 1\n# comment\n[slot]\nwidth = \"6 mm\"\n";
    info.method = "grid";
    info.inputs = {{"slot.width", true, "m", "mm"}};
    info.points = {"A4"};
    info.cylinders = {1, 2};
    info.firing_positions = {1, 2};
    info.count = 2;
    info.block_size = 8;
    return info;
}

}  // namespace

TEST_CASE("SHA-256: in pieces of any size it is that of the whole") {
    std::string text;
    for (int i = 0; i < 300; ++i) {
        text += static_cast<char>('a' + i % 26);
    }
    for (std::size_t length = 0; length < text.size(); ++length) {
        for (const std::size_t piece : {1U, 7U, 63U, 64U, 65U}) {
            Sha256 digest;
            for (std::size_t at = 0; at < length; at += piece) {
                digest.add(std::string_view(text).substr(at, std::min(piece, length - at)));
            }
            REQUIRE(digest.digits() == sha256(std::string_view(text).substr(0, length)));
        }
    }
    // FIPS 180-4 examples as published by NIST (SHA256.pdf): "abc" and the two-block message.
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

TEST_CASE("damage: no flipped bit of a JSON result is taken in") {
    const ScratchFolder scratch;
    const std::string whole = json_text(sample_solve());
    REQUIRE(read_results_json(scratch.write("whole.json", whole)).points.size() == 2);
    // A bit of the digest's own name leaves content that is right, and that is said.
    const auto name = whole.find(content_digest_key);
    CHECK(taken_in(whole, 5, [&](const std::string& text) {
              const auto result = read_results_json(scratch.write("a.json", text));
              if (text.substr(0, name) == whole.substr(0, name) &&
                  has(result.points.at(0).notes.back(), "carries no digest")) {
                  throw ReadError("it said so");
              }
          }) == 0);
}

namespace {

bool is_younger(const std::string& name) {
    const auto& all = point_quantities();
    return std::any_of(all.begin(), all.end(), [&name](const auto& quantity) {
        return quantity.younger && name == quantity.json;
    });
}

}  // namespace

TEST_CASE("damage: a JSON result is the same in any order and layout, and needs each entry") {
    const ScratchFolder scratch;
    const auto ordered = nlohmann::ordered_json::parse(json_text(sample_solve()));
    const auto sorted = nlohmann::json::parse(json_text(sample_solve()));
    for (const auto& text : {ordered.dump(), ordered.dump(4), sorted.dump(2)}) {
        const auto result = read_results_json(scratch.write("a.json", text));
        CHECK(result.points.size() == 2);
        CHECK(result.points.at(0).notes == sample_solve().points.at(0).notes);
    }
    auto without = ordered;
    without.erase(content_digest_key);
    CHECK(has(read_results_json(scratch.write("a.json", without.dump())).points.at(0).notes.back(),
              "carries no digest of its content"));
    auto changed = ordered;
    changed["points"][0]["name"] = "A5";
    CHECK(has(message_of([&] { (void)read_results_json(scratch.write("a.json", changed.dump())); }),
              "its content is not that of its digest"));
    for (const auto& point : ordered.at("points").at(0).items()) {
        const auto& name = point.key();
        if (name == "traces" || name.find("trim") != std::string::npos) {
            continue;  // absent where not asked for; trims are computed anew
        }
        if (name == "band_parts" || name == "banks" || is_younger(name)) {
            continue;  // files of the same format may be older
        }
        CAPTURE(name);
        auto lacks = without;
        lacks["points"][0].erase(name);
        CHECK_FALSE(message_of([&] {
                        (void)read_results_json(scratch.write("a.json", lacks.dump()));
                    }).empty());
    }
}

TEST_CASE(
    "damage: a JSON result without its digest is taken in with a word, and no nonsense in it") {
    const ScratchFolder scratch;
    auto without = nlohmann::ordered_json::parse(json_text(sample_solve()));
    without.erase(content_digest_key);
    const auto stored = read_solve_file(scratch.write("a.json", without.dump()));
    REQUIRE(stored.warnings.size() == 1);
    CHECK(has(stored.warnings.front(), "a.json: the file of this result carries no digest"));
    const auto said = [&](const std::function<void(nlohmann::ordered_json&)>& change) {
        auto changed = without;
        change(changed);
        return message_of(
            [&] { (void)read_results_json(scratch.write("b.json", changed.dump())); });
    };
    // A flipped bit of the digest's own name.
    CHECK(has(said([](auto& j) { j["Content_digest"] = "sha256:0"; }),
              "'Content_digest' is no entry of a result of solve"));
    CHECK(has(said([](auto& j) { j["points"][0]["bias_bamd_percent"] = 1; }),
              "'bias_bamd_percent' is no entry of a result of solve"));
    CHECK(has(said([](auto& j) { j["points"][0]["speed_rpm"] = -3500; }),
              "its speed is not above zero"));
    CHECK(has(said([](auto& j) { j["points"][0]["source_pressure_pa"] = -1e5; }),
              "its source pressure is not above zero"));
    CHECK(has(said([](auto& j) { j["points"][0]["cylinders"][0]["bias_percent"] = 1e308; }),
              "the bias of cylinder 1 is no share of the air"));
    for (const char* name : {"pressures", "slots", "cylinders"}) {
        CAPTURE(name);
        CHECK(has(said([&](auto& j) { j["points"][0][name] = nullptr; }), "is no list"));
    }
}

TEST_CASE("damage: deep or endless JSON is refused without a crash") {
    const ScratchFolder scratch;
    for (const auto& text : {std::string(1000000, '['),
                             std::string(200000, '[') + std::string(200000, ']'),
                             std::string("{\"format\":"),
                             std::string("\"x\""),
                             std::string("[]"),
                             std::string("{\"format\":1}"),
                             std::string()}) {
        CHECK_FALSE(
            message_of([&] { (void)read_results_json(scratch.write("a.json", text)); }).empty());
    }
}

TEST_CASE("damage: no flipped bit of an HDF5 result is taken in, nor a file cut short") {
    const ScratchFolder scratch;
    const auto path = scratch.path("whole.h5");
    write_results(path, sample_solve());
    REQUIRE(read_results(path).points.size() == 2);
    const std::string whole = bytes_of(path);
    const auto read = [&](const std::string& bytes) {
        (void)read_results(scratch.write("a.h5", bytes));
    };
    CHECK(taken_in(whole, 61, read) == 0);
    for (std::size_t length = 0; length < whole.size(); length += 997) {
        CHECK_THROWS_AS(read(whole.substr(0, length)), ReadError);
    }
    CHECK_THROWS_AS(read(whole + "x"), ReadError);
}

TEST_CASE("damage: no flipped bit of a sweep's description or blocks is taken in") {
    const auto info = sample_info();
    const std::string whole = encode_info(info);
    std::string program;
    REQUIRE(decode_info(whole, "sweep.json", program).digest == info.digest);
    CHECK(taken_in(whole, 1, [&](const std::string& text) {
              (void)decode_info(text, "sweep.json", program);
              if (program != this_program()) {
                  throw ReadError("refused by its program");
              }
          }) == 0);
    std::vector<VariantRecord> records(2);
    for (auto& record : records) {
        record.inputs = {{0.006, "6 mm"}};
        record.points = {sample_solve().points.at(0)};
    }
    const auto block = encode_block(info, 0, records);
    CHECK(taken_in({block.begin(), block.end()}, 1, [&](const std::string& text) {
              (void)decode_block(info, 0, {text.begin(), text.end()}, "block");
          }) == 0);
}

TEST_CASE("damage: the command line refuses a changed sweep.json, and keeps what was there") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
    const auto store = scratch.path("store");
    REQUIRE(run_plenair({"sweep", path, "--folder", store, "--quiet"}).status == 0);
    const std::string before = bytes_of(store + "/result.h5");
    std::string info = bytes_of(store + "/sweep.json");
    const auto at = info.find("97.0 mm");  // in the text of the case, which nothing else checks
    REQUIRE(at != std::string::npos);
    info[at] = '8';
    (void)scratch.write("store/sweep.json", info);
    for (const auto& arguments : {std::vector<std::string>{"sweep", path, "--folder", store},
                                  std::vector<std::string>{"gather", store}}) {
        const auto outcome = run_plenair(arguments);
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "sweep.json: is damaged: its content is not that of its digest"));
        CHECK(bytes_of(store + "/result.h5") == before);
    }
}

TEST_CASE("damage: a sweep.json without its digest is refused, and one whose case is another") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
    const auto store = scratch.path("store");
    REQUIRE(run_plenair({"sweep", path, "--folder", store, "--quiet"}).status == 0);
    const auto whole = nlohmann::ordered_json::parse(bytes_of(store + "/sweep.json"));
    const auto refused = [&](const nlohmann::ordered_json& json, const std::string& fault) {
        (void)scratch.write("store/sweep.json", json.dump(2) + "\n");
        for (const auto& arguments : {std::vector<std::string>{"sweep", path, "--folder", store},
                                      std::vector<std::string>{"gather", store}}) {
            const auto outcome = run_plenair(arguments);
            CAPTURE(outcome.err);
            CHECK(outcome.status == 4);
            CHECK(has(outcome.err, "sweep.json: is damaged: " + fault));
        }
    };
    auto without = whole;
    without.erase(content_digest_key);
    refused(without, "its content is not that of its digest");
    // As by a hand that makes the digest right again.
    const std::string text = whole.at("case_text");
    const auto at = text.find("97.0 mm");
    REQUIRE(at != std::string::npos);
    for (const std::string other : {"87.0 mm", "97.0 m\"m"}) {
        auto changed = whole;
        changed["case_text"] = std::string(text).replace(at, 7, other);
        changed[content_digest_key] = content_digest(changed);
        refused(changed, "its case text is not that of its case digest");
    }
    (void)scratch.write("store/sweep.json", whole.dump(2) + "\n");
    CHECK(run_plenair({"gather", store, "--quiet"}).status == 0);
}
