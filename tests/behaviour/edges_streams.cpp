// Streams that take nothing, limits of the system, signals, and outputs that are no files.

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/running_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <sys/stat.h>
#include <nlohmann/json.hpp>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

const std::string program = PLENAIR_EXECUTABLE;

/// Runs a line of the shell; the word "plenair" in it is the program, a path with it is not.
Outcome shell(std::string line) {
    for (std::size_t at = 0; (at = line.find("plenair ", at)) != std::string::npos;) {
        line.replace(at, 7, program);
        at += program.size();
    }
    return run_process("/bin/bash", {"-c", line});
}

/// A case of one quick point, and a folder in which nothing else stands.
struct Desk {
    ScratchFolder scratch;
    std::string path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 5 mm\"\n"));
    std::string store = scratch.path("store");

    /// No unfinished file, wherever it would have been.
    [[nodiscard]] bool tidy() const {
        for (const auto& entry : fs::recursive_directory_iterator(scratch.folder())) {
            if (has(entry.path().filename().string(), ".part")) {
                return false;
            }
        }
        return true;
    }
};

template <class Condition>
bool wait_for(const Condition& condition,
              std::chrono::microseconds pause = std::chrono::milliseconds(50)) {
    const auto latest = std::chrono::steady_clock::now() + std::chrono::minutes(1);
    while (!condition()) {
        if (std::chrono::steady_clock::now() > latest) {
            return false;
        }
        std::this_thread::sleep_for(pause);
    }
    return true;
}

}  // namespace

TEST_CASE("streams: no state of standard error changes what a command does") {
    const Desk desk;
    for (const std::string closed : {"2>&-", "2>/dev/full", "2> >(exec true)"}) {
        CAPTURE(closed);
        CHECK(shell("plenair solve nothere.toml " + closed).status == 4);
        CHECK(shell("plenair --nonsense " + closed).status == 2);
        const auto json = desk.scratch.path("q.json");
        fs::remove(json);
        // The case has a warning to give, and no message may land in the file.
        CHECK(shell("plenair solve " + desk.path + " --bands off -o " + json + " >&- " + closed)
                  .status == 4);
        CHECK(nlohmann::json::accept(read_text(json)));
        fs::remove_all(desk.store);
        const auto sweep = "plenair sweep " + desk.path + " --json --folder " + desk.store + " ";
        CHECK(shell(sweep + closed).status == 0);
        CHECK(fs::exists(desk.store + "/result.h5"));
    }
}

TEST_CASE("streams: what standard output does not take is said, with status 4") {
    const Desk desk;
    for (const std::string closed : {">&-", ">/dev/full"}) {
        CAPTURE(closed);
        for (const std::string& verb : {"check " + desk.path,
                                        std::string("check --schema"),
                                        "draw " + desk.path,
                                        std::string("--help"),
                                        std::string("--completion bash"),
                                        std::string("--manual-page"),
                                        std::string("--version")}) {
            CAPTURE(verb);
            const auto outcome = shell("plenair " + verb + " " + closed);
            CHECK(outcome.status == 4);
            CHECK(has(outcome.err, "cannot write standard output: "));
        }
    }
    const auto gone =
        shell("(sleep 0.5; plenair check " + desk.path + "; echo status $? >&2) | true");
    CHECK(has(gone.err, "cannot write standard output: Broken pipe"));
    CHECK(has(gone.err, "status 4"));
}

TEST_CASE("streams: a limit on the size of files is an error of writing") {
    const Desk desk;
    for (const std::string ending : {".json", ".h5", ".csv"}) {
        CAPTURE(ending);
        const auto file = desk.scratch.path("q" + ending);
        // The limit is the program's alone: what carries its words to this test writes files too.
        const auto outcome = shell("(ulimit -f 0; plenair solve " + desk.path + " --bands off -o " +
                                   file + " 2>&1) | cat");
        // By the name that was given, not by that of the file beside it.
        CHECK(has(outcome.out, "cannot write " + file + ": File too large"));
        CHECK_FALSE(fs::exists(file));
        CHECK(desk.tidy());
        CHECK(shell("ulimit -f 0; plenair solve " + desk.path + " --quiet --bands off -o " + file)
                  .status == 4);
    }
    const auto sweep = shell("ulimit -f 0; plenair sweep " + desk.path + " --folder " + desk.store);
    CHECK(sweep.status == 4);
    CHECK(desk.tidy());
}

TEST_CASE("signals: each that asks to end keeps what is finished, and the sweep goes on") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml",
        sweep_case("\"slot.width\" = { from = \"4 mm\", to = \"9 mm\", steps = 1600 }\n"));
    for (const int signal :
         {SIGHUP, SIGTERM, SIGQUIT, SIGUSR1, SIGUSR2, SIGXCPU, SIGALRM, SIGVTALRM, SIGPROF}) {
        CAPTURE(signal);
        const auto store = scratch.path("store" + std::to_string(signal));
        RunningProcess run(PLENAIR_EXECUTABLE,
                           {"sweep", path, "--folder", store, "--threads", "1"},
                           scratch.path("out"));
        REQUIRE(wait_for([&] { return fs::exists(store + "/blocks/0000/00000000.cbor"); }));
        run.send(signal);
        CHECK(run.wait() == 128 + signal);
        const auto said = read_text(scratch.path("out"));
        CHECK(has(said, "are finished and kept in " + store));
        CHECK_FALSE(has(said, "0 of "));
        CHECK_FALSE(fs::exists(store + "/result.h5"));
    }
}

TEST_CASE("signals: what a killed sweep left half-written goes with the next run") {
    const Desk desk;
    const std::vector<std::string> sweep{
        "sweep", desk.path, "--folder", desk.store, "--quiet", "--threads", "1"};
    REQUIRE(run_plenair(sweep).status == 0);
    for (const std::string name : {"sweep.json.part-process-1-on-host",
                                   "result.h5.part1",
                                   "result.h5.part1.part",
                                   "blocks/0000/00000000.cbor.part-process-1-on-host"}) {
        (void)desk.scratch.write("store/" + name, "half");
    }
    (void)desk.scratch.write("store/rows.csv", "of the user's");
    CHECK_FALSE(desk.tidy());
    REQUIRE(run_plenair(sweep).status == 0);
    CHECK(desk.tidy());
    CHECK(fs::exists(desk.store + "/rows.csv"));
}

TEST_CASE("signals: a stop is no fault of the case, wherever it comes") {
    const ScratchFolder scratch;
    const auto path = scratch.write(
        "case.toml",
        sweep_case("\"slot.width\" = \"4, 5 mm\"\n"
                   "[choose.vary]\n\"slot.width\" = { from = \"4 mm\", to = \"8 mm\", step = "
                   "\"0.5 mm\" }\n[tolerance]\nparts = 1000\n"));
    const auto answer = scratch.path("answer.json");
    for (const std::string verb : {"tolerance", "choose", "causes"}) {
        for (int delay = 20; delay <= 320; delay += 60) {
            CAPTURE(verb);
            CAPTURE(delay);
            fs::remove(answer);
            RunningProcess run(
                PLENAIR_EXECUTABLE, {verb, path, "-o", answer, "--quiet"}, scratch.path("out"));
            std::this_thread::sleep_for(std::chrono::milliseconds(delay));
            run.send(SIGTERM);
            const int status = run.wait();
            CAPTURE(read_text(scratch.path("out")));
            CHECK((status == 0 || status == 128 + SIGTERM));
            CHECK((status == 0) == fs::exists(answer));
        }
    }
}

TEST_CASE("signals: a stop after the answer was written does not deny it") {
    const Desk desk;
    const auto answer = desk.scratch.path("answer.json");
    for (const std::string verb : {"causes", "solve"}) {
        for (int run_number = 0; run_number < 8; ++run_number) {
            CAPTURE(verb);
            fs::remove(answer);
            RunningProcess run(PLENAIR_EXECUTABLE,
                               {verb, desk.path, "-o", answer, "--quiet"},
                               desk.scratch.path("out"));
            REQUIRE(wait_for([&] { return fs::exists(answer); }, std::chrono::microseconds(50)));
            run.send(SIGTERM);
            CHECK(run.wait() == 0);
            CHECK_FALSE(has(read_text(desk.scratch.path("out")), "no result"));
        }
    }
}

TEST_CASE("signals: a hang-up that nohup ignores is ignored") {
    const Desk desk;
    const auto outcome = shell("trap '' HUP; plenair sweep " + desk.path + " --quiet --folder " +
                               desk.store + " & sleep 0.2; kill -HUP $!; wait $!; echo status $?");
    CHECK(has(outcome.out, "status 0"));
}

TEST_CASE("start: a library in the folder where the program is started is not taken") {
    const ScratchFolder scratch;
    for (const std::string name : {"libnlopt.so.0", "libfmt.so.9", "libhdf5_serial.so.103"}) {
        (void)scratch.write(name, "no library");
    }
    const auto outcome =
        run_process("/usr/bin/env", {"-C", scratch.path("."), PLENAIR_EXECUTABLE, "--version"});
    CAPTURE(outcome.err);
    CHECK(outcome.status == 0);
}

TEST_CASE("outputs: an empty name is refused, for it is most likely a script's mistake") {
    const Desk desk;
    for (const auto& arguments :
         std::vector<std::vector<std::string>>{{"solve", desk.path, "-o", ""},
                                               {"solve", desk.path, "--output="},
                                               {"solve", desk.path, "--csv", ""},
                                               {"check", desk.path, "-o", ""},
                                               {"trim", desk.path, "-o", " "},
                                               {"trim", desk.path, "--map-speeds", ""},
                                               {"compare", desk.path, "--vary", ""},
                                               {"sweep", desk.path, "--folder", ""},
                                               {"sweep", desk.path, "--part", ""},
                                               {"gather", ""},
                                               {"draw", desk.path, "-o", ""},
                                               {"report", desk.path, "-o", ""},
                                               {"choose", desk.path, "-o", ""},
                                               {"choose", desk.path, "--csv", ""},
                                               {"tolerance", desk.path, "-o", ""},
                                               {"tolerance", desk.path, "--csv", " "},
                                               {"tolerance", desk.path, "--measured", ""},
                                               {"causes", desk.path, "-o", ""},
                                               {"causes", desk.path, "--csv", ""},
                                               {"bench", desk.path, "--measured", ""},
                                               {"fit", desk.path, "--blank", ""},
                                               {"solve", ""}}) {
        CAPTURE(arguments.front());
        const auto outcome = run_plenair(arguments);
        CAPTURE(outcome.err);
        CHECK(outcome.status == 2);
        CHECK_FALSE(outcome.err.empty());
        CHECK(desk.scratch.count() == 1);
    }
}

TEST_CASE("outputs: a link is followed to its file, be it there or not") {
    const Desk desk;
    fs::create_directory(desk.scratch.path("far"));
    const auto link = desk.scratch.path("link.json");
    fs::create_symlink("far/real.json", link);
    for (int run = 0; run < 2; ++run) {  // first it dangles, then it does not
        REQUIRE(run_plenair({"check", desk.path, "-o", link, "--quiet"}).status == 0);
        CHECK(fs::is_symlink(link));
        CHECK(nlohmann::json::accept(read_text(desk.scratch.path("far/real.json"))));
    }
    const auto nowhere = desk.scratch.path("nowhere.json");
    fs::create_symlink("no/such/folder.json", nowhere);
    const auto outcome = run_plenair({"check", desk.path, "-o", nowhere});
    CHECK(outcome.status == 4);
    CHECK(has(outcome.err, "no/such does not exist; create it first"));
    CHECK(fs::is_symlink(nowhere));
    const auto ring = desk.scratch.path("ring.json");
    fs::create_symlink("ring.json", ring);
    CHECK(run_plenair({"check", desk.path, "-o", ring}).status == 4);
    CHECK(fs::is_symlink(ring));
}

TEST_CASE("outputs: a name as long as names may be is written") {
    const Desk desk;
    for (const std::string ending : {".json", ".h5"}) {
        const auto file = desk.scratch.path(std::string(255 - ending.size(), 'a') + ending);
        CHECK(run_plenair({"solve", desk.path, "--bands", "off", "--quiet", "-o", file}).status ==
              0);
        CHECK(fs::exists(file));
        CHECK(desk.tidy());
    }
}

TEST_CASE("outputs: a pipe stays a pipe") {
    const Desk desk;
    for (const std::string name : {"pipe.json", "pipe.csv", "pipe.h5"}) {
        const auto pipe = desk.scratch.path(name);
        REQUIRE(mkfifo(pipe.c_str(), 0600) == 0);
        const auto outcome = run_plenair({"solve", desk.path, "-o", pipe});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "it is a pipe or a device, not a file; name a new file"));
        CHECK(fs::is_fifo(pipe));
    }
}

TEST_CASE(
    "options: numbers are finite, decimal and in range, and the refusal says how to write them") {
    const Desk desk;
    const auto target = [&](const std::string& number) {
        return run_plenair(
            {"report", desk.path, "-o", desk.scratch.path("r.html"), "--target", number});
    };
    for (const std::string number : {"nan",
                                     "NaN",
                                     "-nan",
                                     "inf",
                                     "-inf",
                                     "1e999",
                                     "0x10",
                                     "2%",
                                     "2 ",
                                     "",
                                     "two",
                                     "0.4",
                                     "21",
                                     "1e-308",
                                     "+-2",
                                     "2,5"}) {
        CAPTURE(number);
        const auto outcome = target(number);
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "is not a number from 0.5 to 20 %; write for example --target 2"));
    }
    for (const std::string number : {"nan", "inf", "0", "11", "half"}) {
        const auto outcome = run_plenair({"trim", desk.path, "--step", number});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "from 0.01 to 10 %; write for example --step 0.5"));
    }
    for (const std::string number : {"nan", "0", "1025", "-1", "1.5", "1e2", "0x2", "+2"}) {
        const auto outcome = run_plenair({"solve", desk.path, "--threads", number});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "from 1 to 1024; write for example --threads 4"));
    }
    for (const std::string number : {"nan", "0", "-3", "1e6", "99999999999999999999"}) {
        const auto outcome = run_plenair({"sweep", desk.path, "--limit", number});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "write for example --limit 50000"));
    }
    CHECK(desk.scratch.count() == 1);
}

TEST_CASE("options: a length too small to be metal gives no nan anywhere") {
    const Desk desk;
    for (const std::string width : {"1e-308 mm", "1e-300 m", "4.9e-324 m", "1e-30 mm"}) {
        CAPTURE(width);
        const auto outcome = run_plenair(
            {"solve", desk.path, "--bands", "off", "--json", "--set", "slot.width=" + width});
        CHECK(outcome.status >= 2);
        CHECK_FALSE(has(outcome.out, "nan"));
        CHECK_FALSE(has(outcome.err, "nan"));
    }
}
