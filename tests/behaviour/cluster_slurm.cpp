#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <exception>
#include <functional>
#include <regex>
#include <string>
#include <thread>

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

// A sweep as a job array on a real Slurm of one host, started for this test alone. Where Slurm
// cannot start the test says so and counts as skipped; scripts/setup.sh installs what it needs.

namespace {

using namespace std::chrono_literals;

Outcome shell(const std::string& line) {
    return run_process("/bin/bash", {"-c", line});
}

/// Whether it became true in time.
bool wait_for(const std::function<bool()>& condition, std::chrono::seconds longest) {
    const auto end = std::chrono::steady_clock::now() + longest;
    while (!condition()) {
        if (std::chrono::steady_clock::now() > end) {
            return false;
        }
        std::this_thread::sleep_for(20ms);
    }
    return true;
}

/// Slurm's daemons in a folder of their own, ended with the test.
class OneHost final {
public:
    OneHost() : outcome_(shell("scripts/cluster/one-host start " + folder())) {}
    ~OneHost() {
        try {
            (void)shell("scripts/cluster/one-host stop " + folder());
        } catch (const std::exception& error) {
            std::fprintf(stderr, "cluster: %s\n", error.what());
        }
    }
    OneHost(const OneHost&) = delete;
    OneHost& operator=(const OneHost&) = delete;
    OneHost(OneHost&&) = delete;
    OneHost& operator=(OneHost&&) = delete;

    [[nodiscard]] const Outcome& outcome() const { return outcome_; }
    [[nodiscard]] std::string folder() const { return scratch_.path("slurm"); }
    [[nodiscard]] const ScratchFolder& scratch() const { return scratch_; }
    [[nodiscard]] Outcome run(const std::string& line) const {
        return shell("source " + folder() + "/env && " + line);
    }
    [[nodiscard]] bool idle() const { return run("squeue --noheader").out.empty(); }

private:
    ScratchFolder scratch_;
    Outcome outcome_;
};

/// The hill-climb case at its first point, on coarse cells, with a sweep of 48 variants: 6 blocks.
std::string sweep_case() {
    auto text = read_text("cases/shipped/hill-climb-four/case.toml");
    const std::string head = "[[point]]";
    const auto second = text.find(head, text.find(head) + head.size());
    REQUIRE(second != std::string::npos);
    return text.substr(0, second) +
           "[model]\n"
           "cells = \"coarse\"\n"
           "[sweep]\n"
           "\"slot.width\" = { from = \"3 mm\", to = \"10 mm\", steps = 8 }\n"
           "\"slot.edge_radius\" = { from = \"0.5 mm\", to = \"3 mm\", steps = 6 }\n";
}

/// The process of a part as its log names it, in its last run; empty before it started.
std::string process_of(const std::string& log) {
    const std::regex line("process ([0-9]+), restart");
    std::string process;
    for (std::sregex_iterator at(log.begin(), log.end(), line), end; at != end; ++at) {
        process = (*at)[1].str();
    }
    return process;
}

std::string number_of(const std::string& text, const std::string& pattern) {
    std::smatch found;
    return std::regex_search(text, found, std::regex(pattern)) ? found[1].str() : "";
}

void compare_with_one_process(const OneHost& host, const std::string& case_path) {
    const auto alone = host.scratch().path("alone");
    const auto outcome = run_plenair({"sweep", case_path, "--folder", alone, "--quiet"});
    REQUIRE(outcome.status == 0);
    const auto gathered = read_text(host.scratch().path("gathered.h5"));
    CHECK(gathered.size() > 10000);
    const bool same = gathered == read_text(alone + "/result.h5");
    CHECK(same);
    const auto table = read_text(host.scratch().path("gathered.csv"));
    CHECK(std::count(table.begin(), table.end(), '\n') == 1 + 48);
}

}  // namespace

TEST_CASE("cluster: an array with a killed and a re-queued task gathers the same bytes") {
    const OneHost host;
    if (host.outcome().status == 77) {
        std::printf("cluster: SKIPPED, NOT TESTED. %s", host.outcome().err.c_str());
        return;
    }
    REQUIRE_MESSAGE(host.outcome().status == 0, host.outcome().err);
    const auto& scratch = host.scratch();
    const auto case_path = scratch.write("case.toml", sweep_case());
    const auto work = scratch.path("work");
    const auto submitted =
        host.run("PLENAIR=" PLENAIR_EXECUTABLE " scripts/cluster/submit " + case_path + " " + work +
                 " 3 -o " + scratch.path("gathered.h5") + " --csv " + scratch.path("gathered.csv") +
                 " -- --chdir=" + scratch.folder());
    INFO(submitted.err);
    REQUIRE(submitted.status == 0);
    const auto array = number_of(submitted.out, "parts: job ([0-9]+)");
    const auto gather = number_of(submitted.out, "gather: job ([0-9]+)");
    REQUIRE_FALSE(array.empty());
    REQUIRE_FALSE(gather.empty());

    const auto log = [&](int part) {
        return read_text(work + "/log/part-" + std::to_string(part) + ".log");
    };
    // The program of part 1 dies as if the node had run out of memory; part 2 is re-queued by hand.
    // Both are held first, so that they cannot be done before that.
    const auto hold = [&](int part) {
        REQUIRE(wait_for([&] { return !process_of(log(part)).empty(); }, 30s));
        REQUIRE(shell("kill -STOP " + process_of(log(part))).status == 0);
    };
    hold(1);
    CHECK(shell("kill -KILL " + process_of(log(1))).status == 0);
    REQUIRE(wait_for([&] { return has(log(1), "back into the queue"); }, 10s));
    hold(2);
    CHECK(host.run("scontrol requeue " + array + "_2").status == 0);

    const bool done = wait_for([&] { return host.idle(); }, 180s);
    INFO(log(1) << log(2) << log(3) << read_text(work + "/log/gather.log"));
    REQUIRE(done);
    CHECK(has(log(1), "restart 1"));
    CHECK(has(log(2), "restart 1"));
    for (const int part : {1, 2, 3}) {
        CHECK(has(log(part), "part " + std::to_string(part) + "/3 ended with status 0"));
    }
    CHECK(has(host.run("scontrol show job " + gather).out, "JobState=COMPLETED"));
    compare_with_one_process(host, case_path);
}
