#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/running_process.hpp"
#include "tests/support/sweep_case.hpp"

#include <doctest/doctest.h>

#include <sys/stat.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <map>
#include <random>
#include <string>
#include <thread>
#include <utility>

namespace fs = std::filesystem;

namespace {

/// Finished blocks by name, each with its place on the disk: written again, it would have another.
std::map<std::string, std::pair<ino_t, long>> blocks_in(const std::string& folder) {
    std::map<std::string, std::pair<ino_t, long>> blocks;
    std::error_code ignored;
    for (const auto& entry : fs::recursive_directory_iterator(folder + "/blocks", ignored)) {
        struct stat state {};
        if (entry.path().extension() == ".cbor" && ::stat(entry.path().c_str(), &state) == 0) {
            blocks[entry.path().string()] = {state.st_ino, state.st_mtim.tv_nsec};
        }
    }
    return blocks;
}

}  // namespace

// kill -9 cannot be caught: what a name shows afterwards is what a power cut would leave.
TEST_CASE("sweep: killed at 50 random moments it ends with the same file and repeats no block") {
    constexpr int kills = 50;
    constexpr std::size_t all_blocks = 32;
    const ScratchFolder scratch;
    const auto path =
        scratch.write("case.toml",
                      plenair::test::sweep_case(
                          "\"slot.width\" = { from = \"4 mm\", to = \"9 mm\", steps = 2048 }\n"));
    const std::string whole = scratch.path("whole"), killed = scratch.path("killed");
    REQUIRE(run_plenair({"sweep", path, "--folder", whole, "--quiet"}).status == 0);
    REQUIRE(blocks_in(whole).size() == all_blocks);
    // Half of the kills come at once, the others after the next block: so they fall all over the
    // sweep, from its first moment on, whatever the speed of the machine.
    std::mt19937 random(20260101);
    std::uniform_int_distribution<std::size_t> more(0, 1);
    std::uniform_int_distribution<int> milliseconds(0, 40);
    auto before = blocks_in(killed);
    std::size_t runs_that_added = 0;
    for (int k = 0; k < kills; ++k) {
        RunningProcess run(PLENAIR_EXECUTABLE,
                           {"sweep", path, "--folder", killed, "--quiet"},
                           scratch.path("out"));
        const std::size_t wanted = std::min(all_blocks, before.size() + more(random));
        while (blocks_in(killed).size() < wanted) {
            std::this_thread::sleep_for(std::chrono::milliseconds(1));
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(milliseconds(random)));
        run.send(SIGKILL);
        const int status = run.wait();
        CHECK((status == 128 + SIGKILL || status == 0));
        const auto after = blocks_in(killed);
        for (const auto& [name, place] : before) {
            const auto found = after.find(name);
            REQUIRE(found != after.end());
            CHECK(found->second == place);
        }
        runs_that_added += after.size() > before.size() ? 1 : 0;
        before = after;
    }
    CHECK(runs_that_added > 10);
    const auto last = run_plenair({"sweep", path, "--folder", killed});
    CAPTURE(last.err);
    CHECK(last.status == 0);
    const auto after = blocks_in(killed);
    CHECK(after.size() == all_blocks);
    for (const auto& [name, place] : before) {
        CHECK(after.at(name) == place);
    }
    CHECK(read_text(killed + "/result.h5") == read_text(whole + "/result.h5"));
    // Nothing unfinished is left among the blocks.
    for (const auto& entry : fs::recursive_directory_iterator(killed + "/blocks")) {
        CHECK((entry.is_directory() || entry.path().extension() == ".cbor"));
    }
}
