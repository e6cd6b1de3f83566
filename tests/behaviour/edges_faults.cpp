// One call of the system fails, once, at each place where there is one: the command finishes all
// the same or ends with status 4 and a sentence, leaves no half file, and run again gives what it
// would have given. The calls fail through tests/faults/shim.c.
//
// PLENAIR_FAULT_ALLOCATIONS: how many of the allocations of each command fail in turn (default 25)
// PLENAIR_FAULT_TABLE: file to which a line is added for each command and call

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

const std::string shipped_rig = std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/header-rig/";
const std::string goal_of_rig =
    "[choose.vary]\n\"slot.width\" = { from = \"3 mm\", to = \"5 mm\", step = \"0.5 mm\" }\n";

/// Whether the command is run a second time after each fault: one that keeps nothing but its answer
/// begins anew anyway.
enum class Again { runs, keeps_nothing };

/// A command, the files that it makes, and a folder in which it can be run again and again.
class Bench final {
public:
    Bench(std::string name,
          std::vector<std::string> before,
          std::vector<std::string> words,
          std::vector<std::string> files,
          Again again = Again::runs)
        : name_(std::move(name)),
          before_(std::move(before)),
          words_(std::move(words)),
          files_(std::move(files)),
          again_(again) {
        // Two points, so that there is work for two threads.
        (void)scratch_.write("case.toml",
                             sweep_case("\"slot.width\" = \"4, 5 mm\"\n") +
                                 "[[point]]\nname = \"mid\"\nspeed = \"7000 rpm\"\npressure = "
                                 "\"255 kPa abs\"\ntemperature = \"318 K\"\n"
                                 "exhaust_pressure = \"262 kPa abs\"\n");
        std::string rig = read_text(shipped_rig + "case.toml");
        rig.replace(rig.find("\"certified\""), 11, "\"largest cell 100 mm\"");
        (void)scratch_.write("rig.toml", rig + goal_of_rig);
        (void)scratch_.write("measured.toml", read_text(shipped_rig + "measured.toml"));
        if (!before_.empty()) {
            REQUIRE(run_in_folder(before_, {}).status == 0);
            fs::copy(work(), scratch_.path("begin"), fs::copy_options::recursive);
        }
        const auto whole = run({"PLENAIR_FAULT_COUNTS=" + scratch_.path("counts")});
        CAPTURE(whole.err);
        REQUIRE(whole.status == 0);
        for (const auto& file : files_) {
            reference_[file] = bytes_of(work() + "/" + file);
            REQUIRE_FALSE(reference_[file].empty());
        }
        for (const auto& line : split(read_text(scratch_.path("counts")), '\n')) {
            const auto parts = split(line, ' ');
            counts_[parts.at(0)] = std::stol(parts.at(1));
        }
    }

    /// @returns how many calls were made to fail
    long fail_each(const std::string& call, long most) {
        const long count = counts_.at(call);
        const long stride = std::max(1L, count / most);
        long tried = 0;
        for (long at = 1; at <= count; at += stride, ++tried) {
            fail(call, at);
        }
        note(call, count, tried);
        return tried;
    }

private:
    [[nodiscard]] std::string work() const { return scratch_.path("work"); }

    Outcome run_in_folder(const std::vector<std::string>& words,
                          const std::vector<std::string>& environment) {
        fs::create_directories(work());
        std::vector<std::string> all{"-C", work()};
        if (!environment.empty()) {
            all.push_back(std::string("LD_PRELOAD=") + PLENAIR_FAULT_SHIM);
            all.insert(all.end(), environment.begin(), environment.end());
        }
        all.emplace_back(PLENAIR_EXECUTABLE);
        all.insert(all.end(), words.begin(), words.end());
        return run_process("/usr/bin/env", all);
    }

    /// From the beginning.
    Outcome run(const std::vector<std::string>& environment) {
        fs::remove_all(work());
        if (!before_.empty()) {
            fs::copy(scratch_.path("begin"), work(), fs::copy_options::recursive);
        }
        return run_in_folder(words_, environment);
    }

    void fail(const std::string& call, long at) {
        CAPTURE(name_);
        CAPTURE(call);
        CAPTURE(at);
        const auto outcome =
            run({"PLENAIR_FAULT_CALL=" + call, "PLENAIR_FAULT_AT=" + std::to_string(at)});
        CAPTURE(outcome.err);
        CHECK((outcome.status == 0 || outcome.status == 4));
        if (outcome.status == 4) {
            CHECK(outcome.err.size() > 10);
            CHECK(outcome.err.back() == '\n');
        }
        for (const auto& entry : fs::recursive_directory_iterator(work())) {
            const auto file = entry.path().filename().string();
            CHECK_FALSE(has(file, ".part"));
        }
        for (const auto& file : files_) {
            const auto now = bytes_of(work() + "/" + file);
            const bool whole = now == reference_.at(file);
            const bool nothing = now.empty() && outcome.status == 4;
            CHECK((whole || nothing));
        }
        if (again_ == Again::keeps_nothing) {
            return;
        }
        const auto again = run_in_folder(words_, {});
        CHECK(again.status == 0);
        for (const auto& file : files_) {
            CHECK(bytes_of(work() + "/" + file) == reference_.at(file));
        }
    }

    void note(const std::string& call, long count, long tried) const {
        MESSAGE(name_ << ": " << call << ": " << tried << " of " << count << " failed in turn");
        if (const char* table = std::getenv("PLENAIR_FAULT_TABLE")) {
            std::ofstream(table, std::ios::app)
                << name_ << '\t' << call << '\t' << count << '\t' << tried << '\n';
        }
    }

    ScratchFolder scratch_;
    std::string name_;
    std::vector<std::string> before_, words_, files_;
    Again again_;
    std::map<std::string, std::string> reference_;
    std::map<std::string, long> counts_;
};

long allocations() {
    const char* text = std::getenv("PLENAIR_FAULT_ALLOCATIONS");
    return text == nullptr ? 25 : std::atol(text);
}

/// HDF5 1.10 does not survive a failed allocation of its own: memory is left alone where it reads
/// or writes.
enum class Memory { fails, is_left_alone };

void try_all(Bench&& bench, Memory memory) {
    for (const std::string call : {"write",
                                   "rename",
                                   "fsync",
                                   "flock",
                                   "open",
                                   "close",
                                   "truncate",
                                   "read",
                                   "seek",
                                   "mkdir",
                                   "unlink",
                                   "thread"}) {
        (void)bench.fail_each(call, 40);
    }
    if (memory == Memory::fails) {
        CHECK(bench.fail_each("allocate", allocations()) > 0);
    }
}

}  // namespace

TEST_CASE("faults: solve") {
    for (const std::string ending : {".json", ".h5", ".csv"}) {
        try_all({"solve -o " + ending,
                 {},
                 {"solve",
                  "../case.toml",
                  "--bands",
                  "off",
                  "--quiet",
                  "--threads",
                  "2",
                  "-o",
                  "out" + ending},
                 {"out" + ending}},
                ending == ".h5" ? Memory::is_left_alone : Memory::fails);
    }
}

TEST_CASE("faults: sweep") {
    try_all({"sweep",
             {},
             {"sweep",
              "../case.toml",
              "--folder",
              "store",
              "--csv",
              "rows.csv",
              "--quiet",
              "--threads",
              "2"},
             {"store/result.h5", "rows.csv"}},
            Memory::is_left_alone);
}

TEST_CASE("faults: part of a sweep, which makes blocks and no result") {
    try_all({"sweep --part",
             {},
             {"sweep",
              "../case.toml",
              "--folder",
              "store",
              "--part",
              "1/2",
              "--quiet",
              "--threads",
              "2"},
             {"store/sweep.json", "store/blocks/0000/00000000.cbor"}},
            Memory::fails);
}

TEST_CASE("faults: gather") {
    try_all({"gather",
             {"sweep", "../case.toml", "--folder", "store", "--part", "1/1", "--quiet"},
             {"gather", "store", "--csv", "rows.csv", "--quiet"},
             {"store/result.h5", "rows.csv"}},
            Memory::is_left_alone);
}

TEST_CASE("faults: report") {
    try_all({"report",
             {"solve", "../case.toml", "--bands", "off", "--quiet", "-o", "out.json"},
             {"report", "out.json", "-o", "out.html", "--no-live", "--quiet", "--time", "now"},
             {"out.html"}},
            Memory::fails);
}

TEST_CASE("faults: report on a sweep, whose file the library reads") {
    try_all(
        {"report on a sweep",
         {"sweep", "../case.toml", "--folder", "store", "--quiet"},
         {"report", "store/result.h5", "-o", "out.html", "--no-live", "--quiet", "--time", "now"},
         {"out.html"}},
        Memory::is_left_alone);
}

TEST_CASE("faults: what answers and keeps nothing else") {
    const auto answers = [](const std::string& verb, std::vector<std::string> more) {
        std::vector<std::string> words{verb};
        words.insert(words.end(), more.begin(), more.end());
        const std::string file = words.back();
        words.emplace_back("--quiet");
        // What reads or draws and hardly computes; others allocate the same way, and take long.
        const bool fast = verb == "check" || verb == "trim" || verb == "draw" || verb == "start";
        try_all({verb + " -o " + file, {}, words, {file}, Again::keeps_nothing},
                fast ? Memory::fails : Memory::is_left_alone);
    };
    answers("check", {"../case.toml", "-o", "out.json"});
    answers("compare", {"../case.toml", "--vary", "slot.width=4, 5 mm", "-o", "out.json"});
    answers("compare", {"../case.toml", "--vary", "slot.width=4, 5 mm", "-o", "out.html"});
    answers("trim", {"../case.toml", "-o", "out.csv"});
    answers("bench", {"../rig.toml", "--bands", "off", "-o", "out.h5"});
    answers("bench", {"../rig.toml", "--measured", "../measured.toml", "-o", "out.json"});
    answers("fit", {"../rig.toml", "--measured", "../measured.toml", "-o", "out.toml"});
    answers("fit", {"../rig.toml", "--blank", "out.toml"});
    answers("choose", {"../rig.toml", "--bands", "off", "-o", "out.json"});
    answers(
        "tolerance",
        {"../case.toml", "--set", "tolerance.parts=100", "--csv", "rows.csv", "-o", "out.json"});
    answers("causes", {"../case.toml", "--point", "top", "-o", "out.csv"});
    answers("draw", {"../case.toml", "-o", "out.dxf"});
    answers("draw", {"../case.toml", "--sheet", "-o", "out.html"});
    answers(
        "start",
        {"--assume", "--cylinders", "4", "--bore", "86 mm", "--stroke", "86 mm", "-o", "out.toml"});
}
