#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

/// A small disk in memory at a folder; only root may make one.
class SmallDisk final {
public:
    SmallDisk(std::string folder, const std::string& size) : folder_(std::move(folder)) {
        fs::create_directories(folder_);
        made_ = run_process("/bin/mount", {"-t", "tmpfs", "-o", "size=" + size, "none", folder_})
                    .status == 0;
    }
    ~SmallDisk() {
        if (made_) {
            (void)run_process("/bin/umount", {folder_});
        }
    }
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    SmallDisk(SmallDisk&&) = delete;
    SmallDisk& operator=(SmallDisk&&) = delete;

    [[nodiscard]] bool made() const { return made_; }
    [[nodiscard]] bool remount(const std::string& options) const {
        return run_process("/bin/mount", {"-o", "remount," + options, folder_}).status == 0;
    }

private:
    std::string folder_;
    bool made_ = false;
};

}  // namespace

TEST_CASE("sweep: a full disk is named, and with room made the sweep goes on") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml",
        sweep_case("\"slot.width\" = { from = \"4 mm\", to = \"9 mm\", steps = 160 }\n"));
    const SmallDisk disk(scratch.path("disk"), "64k");
    if (!disk.made()) {
        MESSAGE("SKIPPED: only root may mount the small disk that this test fills");
        return;
    }
    const auto store = scratch.path("disk/store");
    auto outcome = run_plenair({"sweep", path, "--folder", store, "--quiet"});
    CHECK(outcome.status == 4);
    CHECK(has(outcome.err, "No space left on device"));
    CHECK(has(outcome.err, "make room and run the same command again"));
    CHECK(has(outcome.err, store));

    // Room for the blocks but not for the result.
    REQUIRE(disk.remount("size=200k"));
    outcome = run_plenair({"sweep", path, "--folder", store, "--quiet"});
    CHECK(outcome.status == 4);
    CHECK_FALSE(fs::exists(store + "/result.h5"));
    REQUIRE(disk.remount("size=8m"));
    outcome = run_plenair({"sweep", path, "--folder", store, "--quiet"});
    CAPTURE(outcome.err);
    CHECK(outcome.status == 0);
    const auto reference = scratch.path("reference");
    REQUIRE(run_plenair({"sweep", path, "--folder", reference, "--quiet"}).status == 0);
    CHECK(read_text(store + "/result.h5") == read_text(reference + "/result.h5"));
}

TEST_CASE("sweep: a folder that cannot be written is named before anything is computed") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
    const auto in_a_file = run_plenair({"sweep", path, "--folder", path + "/store"});
    CHECK(in_a_file.status == 4);
    CHECK(has(in_a_file.err, path + "/store"));
    const SmallDisk disk(scratch.path("disk"), "1m");
    if (!disk.made()) {
        MESSAGE("SKIPPED: only root may mount the read-only disk of this test");
        return;
    }
    const auto store = scratch.path("disk/store");
    REQUIRE(run_plenair({"sweep", path, "--folder", store, "--part", "2/2"}).status == 0);
    REQUIRE(disk.remount("ro"));
    for (const auto& folder : {store, scratch.path("disk/new")}) {
        const auto outcome = run_plenair({"sweep", path, "--folder", folder});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, folder));
        CHECK(has(outcome.err, "Read-only file system"));
    }
    REQUIRE(disk.remount("rw"));
    CHECK(run_plenair({"sweep", path, "--folder", store, "--quiet"}).status == 0);
}
