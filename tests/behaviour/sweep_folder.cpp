#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

/// Variants that make five blocks.
const std::string five_blocks = "\"slot.width\" = { from = \"4 mm\", to = \"9 mm\", steps = 40 }\n";

std::string block(int number) {
    return "blocks/0000/0000000" + std::to_string(number) + ".cbor";
}

/// A finished sweep of five blocks, to be damaged.
class FinishedSweep final {
public:
    FinishedSweep()
        : path(scratch.write("case.toml", sweep_case(five_blocks))), store(scratch.path("store")) {
        REQUIRE(run_plenair({"sweep", path, "--folder", store, "--csv", csv(), "--quiet"}).status ==
                0);
        result_ = read_text(store + "/result.h5");
        rows_ = read_text(csv());
        REQUIRE(result_.size() > 10000);
        fs::remove(store + "/result.h5");
        fs::remove(csv());
    }

    [[nodiscard]] std::string csv() const { return scratch.path("rows.csv"); }
    [[nodiscard]] std::string file(int number) const { return store + "/" + block(number); }
    void empty(int number) const { fs::resize_file(file(number), 0); }
    void cut(int number) const { fs::resize_file(file(number), fs::file_size(file(number)) / 2); }
    void expect_same_result() const {
        CHECK(read_text(store + "/result.h5") == result_);
        CHECK(read_text(csv()) == rows_);
    }

    ScratchFolder scratch;
    std::string path, store;

private:
    std::string result_, rows_;
};

}  // namespace

TEST_SUITE("damage") {
    TEST_CASE("sweep: damaged blocks are computed again, with one warning, to the same bytes") {
        const FinishedSweep sweep;
        sweep.empty(0);
        sweep.cut(2);
        fs::copy_file(sweep.file(1), sweep.file(3), fs::copy_options::overwrite_existing);
        const auto whole = fs::last_write_time(sweep.file(1));
        const auto outcome = run_plenair(
            {"sweep", sweep.path, "--folder", sweep.store, "--csv", sweep.csv(), "--json"});
        CAPTURE(outcome.err);
        CHECK(outcome.status == 0);
        CHECK(has(outcome.err, "3 finished blocks are damaged (the first is " + block(0) + ")"));
        CHECK(has(outcome.err, "are computed again"));
        CHECK(outcome.err.find("damaged") == outcome.err.rfind("damaged"));
        const auto summary = nlohmann::json::parse(outcome.out);
        CHECK(summary.at("blocks_found") == 2);
        CHECK(summary.at("blocks_computed") == 3);
        CHECK(fs::last_write_time(sweep.file(1)) == whole);
        sweep.expect_same_result();
    }

    TEST_CASE("gather: one changed bit anywhere in a block is noticed") {
        const FinishedSweep sweep;
        const std::string good = read_text(sweep.file(2));
        REQUIRE(good.size() > 1000);
        for (std::size_t at = 0; at < good.size(); at += good.size() / 40) {
            CAPTURE(at);
            auto bad = good;
            bad[at] = static_cast<char>(bad[at] ^ 1);
            (void)sweep.scratch.write("store/" + block(2), bad);
            const auto outcome = run_plenair({"gather", sweep.store, "--quiet"});
            CHECK(outcome.status == 4);
            CHECK(has(outcome.err, "1 of 5 blocks is damaged: " + block(2)));
        }
        (void)sweep.scratch.write("store/" + block(2), good);
        CHECK(run_plenair({"gather", sweep.store, "--quiet", "--csv", sweep.csv()}).status == 0);
        sweep.expect_same_result();
    }

    TEST_CASE("sweep: a part computes the damaged blocks of its own and no others") {
        const FinishedSweep sweep;
        sweep.empty(1);
        sweep.empty(2);
        const auto outcome =
            run_plenair({"sweep", sweep.path, "--folder", sweep.store, "--part", "2/2"});
        CHECK(outcome.status == 0);
        CHECK(has(outcome.err, "1 finished block is damaged (the first is " + block(1) + ")"));
        CHECK(fs::file_size(sweep.file(1)) > 0);
        CHECK(fs::file_size(sweep.file(2)) == 0);
    }

    TEST_CASE("gather: every damaged block is named at once, and sweep mends them") {
        const FinishedSweep sweep;
        sweep.empty(1);
        sweep.cut(4);
        auto outcome = run_plenair({"gather", sweep.store});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "2 of 5 blocks are damaged: " + block(1) + ", " + block(4)));
        CHECK(has(outcome.err, "; run sweep on this folder again, which computes only these"));
        CHECK_FALSE(fs::exists(sweep.store + "/result.h5"));
        fs::remove(sweep.file(0));
        outcome = run_plenair({"gather", sweep.store});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "1 of 5 blocks are not there yet; 2 of 5 blocks are damaged: "));
        REQUIRE(run_plenair({"sweep", sweep.path, "--folder", sweep.store, "--quiet"}).status == 0);
        CHECK(run_plenair({"gather", sweep.store, "--csv", sweep.csv()}).status == 0);
        sweep.expect_same_result();
    }

    TEST_CASE("gather: the parts to run again are named as sweep wants them") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(five_blocks));
        const auto store = scratch.path("store");
        const std::vector<std::string> sweep{"sweep", path, "--folder", store, "--part"};
        const auto run_part = [&](const std::string& part) {
            auto words = sweep;
            words.push_back(part);
            return run_plenair(words).status;
        };
        REQUIRE(run_part("1/4") == 0);
        auto outcome = run_plenair({"gather", store});
        CHECK(outcome.status == 4);
        CHECK(
            has(outcome.err,
                "3 of 5 blocks are not there yet; run sweep on this folder again with --part 2/4, "
                "--part 3/4, --part 4/4, which"));
        for (const std::string part : {"2/4", "3/4", "4/4"}) {
            REQUIRE(run_part(part) == 0);
        }
        fs::resize_file(store + "/" + block(2), 7);
        outcome = run_plenair({"gather", store});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, block(2) + "; run sweep on this folder again with --part 3/4, "));
        REQUIRE(run_part("3/4") == 0);
        CHECK(run_plenair({"gather", store}).status == 0);
    }
}

TEST_SUITE("folder") {
    TEST_CASE("sweep: a folder of other files is refused, and they stay as they were") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
        const auto other = scratch.path("other");
        fs::create_directory(other);
        (void)scratch.write("other/result.h5", "of another command");
        for (const std::string part : {"1/1", "1/2"}) {
            const auto outcome = run_plenair({"sweep", path, "--folder", other, "--part", part});
            CHECK(outcome.status == 2);
            CHECK(has(outcome.err, "--folder " + other + ": holds other files (\"result.h5\")"));
            CHECK(has(outcome.err, "name a new or empty folder"));
            CHECK(read_text(other + "/result.h5") == "of another command");
            CHECK(std::distance(fs::directory_iterator(other), fs::directory_iterator()) == 1);
        }
        // Blocks without a description are nobody's either.
        fs::create_directories(scratch.path("blocks-only/blocks/0000"));
        CHECK(run_plenair({"sweep", path, "--folder", scratch.path("blocks-only")}).status == 2);
    }

    TEST_CASE("sweep: a new folder, an empty one and one of a stopped beginning are taken") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
        fs::create_directory(scratch.path("empty"));
        // Stopped before sweep.json had its name; job scripts had made their folder of logs.
        fs::create_directories(scratch.path("begun/blocks"));
        fs::create_directory(scratch.path("begun/log"));
        (void)scratch.write("begun/lock", "");
        (void)scratch.write("begun/lock-1-of-3", "");
        (void)scratch.write("begun/sweep.json.part-process-1-on-host", "{");
        for (const std::string name : {"new", "empty", "begun", "begun"}) {
            CAPTURE(name);
            const auto outcome = run_plenair({"sweep", path, "--folder", scratch.path(name)});
            CAPTURE(outcome.err);
            CHECK(outcome.status == 0);
            CHECK(fs::exists(scratch.path(name + "/result.h5")));
        }
    }

    TEST_CASE("sweep, gather: a file in the place of the folder is called one") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
        const auto file = scratch.write("notes.txt", "mine");
        const auto sweep = run_plenair({"sweep", path, "--folder", file});
        CHECK(sweep.status == 2);
        CHECK(has(sweep.err, "--folder " + file + ": is a file, a folder is expected"));
        const auto gather = run_plenair({"gather", file});
        CHECK(gather.status == 2);
        CHECK(has(gather.err, file + ": is a file, the folder of a sweep is expected"));
        CHECK(read_text(file) == "mine");
        CHECK(scratch.count() == 2);
    }

    TEST_CASE("sweep: a limit that is no number of variants is answered with the rule") {
        for (const std::string limit : {"0", "-3", "many", "1e3", "2.5"}) {
            CAPTURE(limit);
            const auto outcome = run_plenair({"sweep", "case.toml", "--limit=" + limit});
            CHECK(outcome.status == 2);
            CHECK(has(outcome.err, "'" + limit + "' is not a whole number from 1 to "));
            CHECK(has(outcome.err, " variants; write for example --limit "));
            CHECK(outcome.err.size() < 200);
        }
    }
}
