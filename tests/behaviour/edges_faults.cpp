// One call of the system fails, once, at each place where there is one: the command finishes all
// the same or ends with status 4 and a sentence, leaves no half file, and run again gives what it
// would have given. The calls fail through tests/faults/shim.c. Of allocations, which are many more
// than the places in the program that make them, the first of each place fails.
//
// PLENAIR_FAULT_ALLOCATIONS: at how many places of each command, beside those of the commands
// before it, an allocation fails (default 12).
//
// PLENAIR_FAULT_TABLE: file to which a line is added for each command and call.

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
#include <set>
#include <string>
#include <vector>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// All numbers and texts of an HDF5 file. HDF5 survives some lacks of memory by laying it out
/// otherwise.
std::string content_of(const std::string& path) {
    const auto dump = run_process("/usr/bin/ncdump", {"-p", "9,17", path});
    return dump.status == 0 ? dump.out.substr(dump.out.find('\n')) : std::string();
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
        const auto whole = run({"PLENAIR_FAULT_COUNTS=" + scratch_.path("counts"),
                                "PLENAIR_FAULT_PLACES=" + scratch_.path("places")});
        CAPTURE(whole.err);
        REQUIRE(whole.status == 0);
        for (const auto& file : files_) {
            reference_[file] = bytes_of(work() + "/" + file);
            REQUIRE_FALSE(reference_[file].empty());
            if (file.ends_with(".h5")) {
                contents_[file] = content_of(work() + "/" + file);
            }
        }
        for (const auto& line : split(read_text(scratch_.path("counts")), '\n')) {
            const auto parts = split(line, ' ');
            counts_[parts.at(0)] = std::stol(parts.at(1));
        }
        static std::set<std::string> known;  // what all commands share fails in the first of them
        for (const auto& line : split(read_text(scratch_.path("places")), '\n')) {
            const auto parts = split(line, ' ');
            if (known.insert(parts.at(0)).second) {
                (is_of_hdf5(parts.at(1)) ? places_of_hdf5_ : places_).push_back(parts.at(0));
            }
        }
    }

    void fail_each(const std::string& call) {
        const long count = counts_.at(call);
        for (long at = 1; at <= count; ++at) {
            const auto place = std::to_string(at);
            fail({"PLENAIR_FAULT_CALL=" + call, "PLENAIR_FAULT_AT=" + place});
        }
        note(call, count, count);
    }

    /// @param most  places of the program at which an allocation fails; of HDF5 as many again
    void fail_allocations(long most) {
        fail_places("allocate", places_, most);
        if (!places_of_hdf5_.empty()) {
            fail_places("allocate in HDF5", places_of_hdf5_, most);
        }
    }

private:
    static bool is_of_hdf5(const std::string& library) {
        return library.starts_with("libhdf5") || library.starts_with("libsz") ||
               library.starts_with("libz.") || library.starts_with("libaec");
    }

    void fail_places(const std::string& what, const std::vector<std::string>& places, long most) {
        const auto count = static_cast<long>(places.size());
        const long stride = std::max(1L, count / most);
        long tried = 0;
        for (long at = 0; at < count; at += stride, ++tried) {
            fail({"PLENAIR_FAULT_PLACE=" + places[static_cast<std::size_t>(at)]});
        }
        note(what, count, tried);
    }

    [[nodiscard]] bool holds_the_same(const std::string& file) const {
        const auto content =
            file.ends_with(".h5") ? content_of(work() + "/" + file) : std::string();
        return !content.empty() && content == contents_.at(file);
    }

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

    void fail(const std::vector<std::string>& fault) {
        CAPTURE(name_);
        CAPTURE(fault.front());
        CAPTURE(fault.back());
        const auto outcome = run(fault);
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
            const bool whole = now == reference_.at(file) || holds_the_same(file);
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
    std::map<std::string, std::string> reference_, contents_;
    std::map<std::string, long> counts_;
    std::vector<std::string> places_, places_of_hdf5_;  ///< of allocations, new with this command
};

long allocations() {
    const char* text = std::getenv("PLENAIR_FAULT_ALLOCATIONS");
    return text == nullptr ? 12 : std::atol(text);
}

void try_all(Bench&& bench) {
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
        bench.fail_each(call);
    }
    bench.fail_allocations(allocations());
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
                 {"out" + ending}});
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
             {"store/result.h5", "rows.csv"}});
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
             {"store/sweep.json", "store/blocks/0000/00000000.cbor"}});
}

TEST_CASE("faults: gather") {
    try_all({"gather",
             {"sweep", "../case.toml", "--folder", "store", "--part", "1/1", "--quiet"},
             {"gather", "store", "--csv", "rows.csv", "--quiet"},
             {"store/result.h5", "rows.csv"}});
}

TEST_CASE("faults: report") {
    try_all({"report",
             {"solve", "../case.toml", "--bands", "off", "--quiet", "-o", "out.json"},
             {"report", "out.json", "-o", "out.html", "--no-live", "--quiet", "--time", "now"},
             {"out.html"}});
}

TEST_CASE("faults: report on a sweep, whose file the library reads") {
    try_all(
        {"report on a sweep",
         {"sweep", "../case.toml", "--folder", "store", "--quiet"},
         {"report", "store/result.h5", "-o", "out.html", "--no-live", "--quiet", "--time", "now"},
         {"out.html"}});
}

TEST_CASE("faults: what answers and keeps nothing else") {
    const auto answers = [](const std::string& verb, std::vector<std::string> more) {
        std::vector<std::string> words{verb};
        words.insert(words.end(), more.begin(), more.end());
        const std::string file = words.back();
        words.emplace_back("--quiet");
        try_all({verb + " -o " + file, {}, words, {file}, Again::keeps_nothing});
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
