#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

const std::string shipped_case = "cases/shipped/hill-climb-four/case.toml";
const std::string rig_case = "tests/behaviour/find-package/rig.toml";

}  // namespace

TEST_SUITE("usage") {
    TEST_CASE("command line: --version gives the version on standard output") {
        const auto outcome = run_plenair({"--version"});
        CHECK(outcome.status == 0);
        CHECK(outcome.out.starts_with("plenair 0.1.0 ("));
        CHECK(outcome.err.empty());
    }

    TEST_CASE("command line: help of every verb has an example") {
        for (const std::string verb :
             {"start", "check", "solve", "bench", "compare", "trim", "sweep", "gather", "draw"}) {
            CAPTURE(verb);
            const auto outcome = run_plenair({verb, "--help"});
            CHECK(outcome.status == 0);
            CHECK(has(outcome.out, "Example"));
            CHECK(has(outcome.out, "plenair " + verb + " "));
            CHECK(outcome.err.empty());
        }
    }

    TEST_CASE("command line: alone, help and --help begin with what to do first") {
        const auto alone = run_plenair({});
        CHECK(alone.status == 2);
        CHECK(alone.out.empty());
        const auto helped = run_plenair({"help"});
        CHECK(helped.status == 0);
        CHECK(helped.out == run_plenair({"--help"}).out);
        CHECK(helped.out.starts_with("To begin:\n"));
        for (const std::string first : {"  plenair start -o case.toml ",
                                        "  plenair solve case.toml ",
                                        "  plenair compare case.toml --vary "}) {
            CAPTURE(first);
            CHECK(has(helped.out, first));
            CHECK(has(alone.err, first));
        }
        CHECK(run_plenair({"help", "solve"}).out == run_plenair({"solve", "--help"}).out);
        CHECK(!has(run_plenair({"solve", "--help"}).out, "To begin"));
    }

    TEST_CASE("command line: what is mistyped gets the nearest verb, option, key or unit") {
        struct Slip {
            std::vector<std::string> words;
            const char* meant;
        };
        const std::vector<Slip> slips{
            {{"slove", shipped_case}, "did you mean solve?"},
            {{"comapre", shipped_case}, "did you mean compare?"},
            {{"hlep"}, "did you mean help?"},
            {{"solve", shipped_case, "--bnads", "off"}, "did you mean --bands?"},
            {{"solve", shipped_case, "--bnads=off"}, "did you mean --bands?"},
            {{"solve", "--thread", "2", shipped_case}, "did you mean --threads?"},
            {{"start", "--strok", "86 mm"}, "did you mean --stroke?"},
            {{"bench", shipped_case, "--point", "A4"}, "unknown option --point of bench"},
            {{"check", shipped_case, "--set", "slot.widht=6 mm"}, "did you mean slot.width?"},
            {{"check", shipped_case, "--set", "slot.width=6 mmm"}, "write \"6 mm\""},
            {{"check", shipped_case, "--set", "slot.width=6 milimeter"}, "write \"6 mm\""},
            {{"check", shipped_case, "--set", "point.A4.speed=8600 rmp"}, "write \"8600 rpm\""},
            {{"check", shipped_case, "--set", "throttle.diameter=60 mm"},
             "did you mean throttle.bore?"},
            {{"check", shipped_case, "--set", "valve.intake.diameter=60 mm"},
             "did you mean valve.intake.head?"},
        };
        for (const auto& slip : slips) {
            CAPTURE(slip.meant);
            const auto outcome = run_plenair(slip.words);
            CHECK(outcome.status == 2);
            CHECK(outcome.out.empty());
            CHECK(has(outcome.err, slip.meant));
        }
    }

    TEST_CASE("command line: wrong usage ends with status 2, a reason and nothing printed") {
        const std::vector<std::vector<std::string>> wrong{
            {},
            {"dance"},
            {"solve"},
            {"solve", rig_case, "surplus"},
            {"solve", rig_case, "--unknown"},
            {"solve", rig_case, "--threads", "0"},
            {"solve", rig_case, "--threads", "1025"},
            {"solve", rig_case, "--threads", "two"},
            {"solve", rig_case, "--bands", "maybe"},
            {"bench", rig_case, "--traces"},
            {"bench", rig_case, "--set", "no equals sign"},
            {"bench", rig_case, "--set", "=6 mm"},
            {"bench", rig_case, "-o"},
        };
        for (const auto& arguments : wrong) {
            CAPTURE(arguments.size());
            CAPTURE((arguments.empty() ? std::string() : arguments.back()));
            const auto outcome = run_plenair(arguments);
            CHECK(outcome.status == 2);
            CHECK(outcome.out.empty());
            CHECK_FALSE(outcome.err.empty());
        }
    }

    TEST_CASE("command line: an unknown verb is named, with the verbs there are") {
        const auto outcome = run_plenair({"dance"});
        CHECK(has(outcome.err, "unknown verb 'dance'"));
        for (const std::string verb :
             {"check", "solve", "bench", "compare", "trim", "sweep", "gather", "draw"}) {
            CHECK(has(outcome.err, verb));
        }
    }

    TEST_CASE("command line: a --set without equals sign is answered with how to write it") {
        const auto outcome = run_plenair({"check", rig_case, "--set", "slot.width"});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "slot.width=6 mm"));
    }
}

TEST_SUITE("input") {
    TEST_CASE("command line: a case file that is not there ends with status 4 and its path") {
        const auto outcome = run_plenair({"check", "no/such/case.toml"});
        CHECK(outcome.status == 4);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, "no/such/case.toml"));
    }

    TEST_CASE("command line: all faults of a case file come in one run, in file order") {
        const ScratchFolder scratch;
        auto text = read_text(rig_case);
        text.replace(text.find("width = \"4 mm\""), 14, "width = 4");
        text.replace(text.find("depression ="), 12, "depresion =");
        const auto path = scratch.write("case.toml", text);
        const auto outcome = run_plenair({"bench", path, "-o", scratch.path("result.json")});
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        const auto first = outcome.err.find("slot.width");
        const auto second = outcome.err.find("depresion");
        REQUIRE(first != std::string::npos);
        REQUIRE(second != std::string::npos);
        CHECK(first < second);
        CHECK(has(outcome.err, path + ":"));
        CHECK(scratch.count() == 1);
    }

    TEST_CASE("command line: an unknown --set key ends with status 2 and leaves old output alone") {
        const ScratchFolder scratch;
        const auto output = scratch.write("result.csv", "old\n");
        const auto outcome =
            run_plenair({"bench", rig_case, "--set", "slot.widht=6 mm", "-o", output});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "slot.widht"));
        CHECK(read_text(output) == "old\n");
        CHECK(scratch.count() == 1);
    }

    TEST_CASE("command line: solve refuses a rig without engine") {
        const auto outcome = run_plenair({"solve", rig_case});
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, "engine"));
    }
}

TEST_SUITE("output") {
    TEST_CASE("command line: an ending that names no format is refused with those that do") {
        const ScratchFolder scratch;
        const auto outcome = run_plenair({"bench", rig_case, "-o", scratch.path("result.txt")});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, ".h5, .json or .csv"));
        CHECK(scratch.count() == 0);
    }

    TEST_CASE("command line: an output that cannot be written is refused before computing") {
        const ScratchFolder scratch;
        const auto no_folder = scratch.path("absent/result.h5");
        // The shipped case takes much longer than the limit of `timeout`, which would give 124.
        auto outcome = run_process(
            "/usr/bin/timeout", {"5", PLENAIR_EXECUTABLE, "solve", shipped_case, "-o", no_folder});
        CHECK(outcome.status == 4);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, no_folder));
        CHECK(has(outcome.err, "does not exist"));

        outcome = run_plenair({"bench", rig_case, "--csv", scratch.folder()});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "it is a folder"));
        CHECK(scratch.count() == 0);
    }

    TEST_CASE("command line: one name for two outputs is refused") {
        const ScratchFolder scratch;
        const auto same = scratch.path("result.csv");
        const auto outcome = run_plenair({"bench", rig_case, "-o", same, "--csv", same});
        CHECK(outcome.status == 2);
        CHECK(has(outcome.err, "same file"));
        CHECK(scratch.count() == 0);
    }

    TEST_CASE("command line: standard output that takes nothing ends with status 4") {
        const auto outcome = run_process(
            "/bin/sh",
            {"-c", "exec \"$0\" bench \"$1\" > /dev/full", PLENAIR_EXECUTABLE, rig_case});
        CHECK(outcome.status == 4);
        CHECK(has(outcome.err, "standard output"));
    }

    TEST_CASE("command line: bench --json prints JSON and nothing else") {
        const auto outcome = run_plenair({"bench", rig_case, "--json"});
        CHECK(outcome.status == 0);
        const auto result = nlohmann::json::parse(outcome.out);
        CHECK(result.at("format") == "plenair.bench/1");
        CHECK(result.at("set_ups").size() == 1);
        CHECK(result.at("set_ups").at(0).at("name") == "slot");
    }

    TEST_CASE("command line: --set overrides an entry, in units other than SI") {
        const auto depression = [](const std::vector<std::string>& sets) {
            std::vector<std::string> arguments{"bench", rig_case, "--json"};
            arguments.insert(arguments.end(), sets.begin(), sets.end());
            const auto outcome = run_plenair(arguments);
            REQUIRE(outcome.status == 0);
            return nlohmann::json::parse(outcome.out)
                .at("set_ups")
                .at(0)
                .at("depression_pa")
                .get<double>();
        };
        CHECK(depression({}) == near(200.0, 1e-12));
        CHECK(depression({"--set", "bench.depression=300 Pa"}) == near(300.0, 1e-12));
        // 1 mbar is 100 Pa by definition.
        CHECK(depression({"--set", "bench.depression=2.5 mbar"}) == near(250.0, 1e-12));
    }

    TEST_CASE("command line: files are complete, and nothing is left beside them") {
        const ScratchFolder scratch;
        for (const std::string name : {"result.json", "result.csv", "result.h5"}) {
            CAPTURE(name);
            const auto outcome =
                run_plenair({"bench", rig_case, "--quiet", "-o", scratch.path(name)});
            CHECK(outcome.status == 0);
            CHECK(outcome.out.empty());
            CHECK(outcome.err.empty());
            CHECK_FALSE(read_text(scratch.path(name)).empty());
        }
        CHECK(scratch.count() == 3);
        CHECK(nlohmann::json::accept(read_text(scratch.path("result.json"))));
        // HDF5 file signature, HDF5 File Format Specification, section II.A.
        CHECK(read_text(scratch.path("result.h5")).substr(1, 3) == "HDF");
    }

    TEST_CASE("command line: without a terminal there is no colour and no progress") {
        const auto outcome = run_plenair({"bench", rig_case});
        CHECK(outcome.status == 0);
        CHECK_FALSE(outcome.out.empty());
        CHECK_FALSE(has(outcome.out, "\033["));
        CHECK_FALSE(has(outcome.err, "\033["));
    }
}

TEST_SUITE("verbs") {
    TEST_CASE("command line: check --schema prints a JSON Schema and needs no case") {
        const auto outcome = run_plenair({"check", "--schema"});
        CHECK(outcome.status == 0);
        CHECK(nlohmann::json::parse(outcome.out).contains("properties"));
    }

    TEST_CASE("command line: check prints derived numbers, and as JSON to a file") {
        const ScratchFolder scratch;
        const auto output = scratch.path("check.json");
        const auto outcome = run_plenair({"check", shipped_case, "-o", output});
        CHECK(outcome.status == 0);
        CHECK_FALSE(outcome.out.empty());
        CHECK(nlohmann::json::parse(read_text(output)).is_object());
        CHECK(run_plenair({"check", shipped_case, "-o", scratch.path("check.h5")}).status == 2);
        CHECK(scratch.count() == 1);
    }

    TEST_CASE(
        "command line: a solve that does not converge ends with status 3 and gives no shares") {
        const std::vector<std::string> arguments{"solve",
                                                 shipped_case,
                                                 "--bands",
                                                 "off",
                                                 "--set",
                                                 "model.max_cycles=2",
                                                 "--set",
                                                 "model.cells=coarse"};
        const auto outcome = run_plenair(arguments);
        CHECK(outcome.status == 3);
        CHECK(has(outcome.err, "did not converge"));
        auto with_json = arguments;
        with_json.emplace_back("--json");
        const auto json = run_plenair(with_json);
        CHECK(json.status == 3);
        const auto result = nlohmann::json::parse(json.out);
        CHECK(result.at("format") == "plenair.solve/1");
        for (const auto& point : result.at("points")) {
            CHECK(point.at("converged") == false);
        }
    }

    TEST_CASE("command line: an interrupt keeps the points that are done") {
        // When the first of five points is done depends on the machine: one that comes too early
        // leaves nothing, and the next comes later.
        const ScratchFolder scratch;
        const auto interrupted_after = [&](double seconds) {
            return run_process("/usr/bin/timeout",
                               {"--preserve-status",
                                "-s",
                                "INT",
                                std::to_string(seconds),
                                PLENAIR_EXECUTABLE,
                                "solve",
                                shipped_case,
                                "--set",
                                "model.cells=fine",
                                "-o",
                                scratch.path("result.json"),
                                "--quiet",
                                "--threads",
                                "1"});
        };
        double seconds = 0.3;
        auto outcome = interrupted_after(seconds);
        while (has(outcome.err, "no result was written") && seconds < 30) {
            CHECK(outcome.status == 130);
            CHECK(scratch.count() == 0);
            seconds *= 1.5;
            outcome = interrupted_after(seconds);
        }
        CHECK(outcome.status == 130);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, "of 5 points are done and kept"));
        CHECK(scratch.count() == 1);
        const auto points =
            nlohmann::json::parse(read_text(scratch.path("result.json"))).at("points");
        CHECK(points.at(0).at("converged") == true);
        CHECK(points.at(4).at("failure") == "stopped before it was computed");
    }
}
