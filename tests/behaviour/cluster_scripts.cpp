#include <doctest/doctest.h>

#include <cstdlib>
#include <string>

#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

// What scripts/cluster/submit asks of the scheduler, with a stand-in that only writes it down.

namespace {

/// A folder with an sbatch that notes its arguments, a line a call, and numbers its jobs from 71.
struct StandIn {
    ScratchFolder scratch;
    StandIn() {
        program("sbatch",
                "\necho \"$*\" >> " + scratch.path("calls") + "\necho $((70 + $(wc -l < " +
                    scratch.path("calls") + ")))\n");
    }
    /// A program that does what some lines of shell do.
    void program(const std::string& name, const std::string& lines) const {
        const auto path = scratch.write(name, "#!/bin/bash\n" + lines);
        REQUIRE(run_process("/bin/bash", {"-c", "chmod +x " + path}).status == 0);
    }
    [[nodiscard]] Outcome submit(const std::string& rest) const {
        return run_process(
            "/bin/bash",
            {"-c",
             "export PATH=" + scratch.folder() + ":$PATH PLENAIR=" PLENAIR_EXECUTABLE "; " + rest});
    }
    [[nodiscard]] std::string calls() const { return read_text(scratch.path("calls")); }
};

const std::string submit = "scripts/cluster/submit ";
const std::string hill_climb = "cases/shipped/hill-climb-four/case.toml ";

}  // namespace

TEST_CASE("cluster scripts: one array for the parts, and a gather that waits for all of them") {
    const StandIn stand_in;
    const auto work = stand_in.scratch.path("work");
    const auto outcome =
        stand_in.submit(submit + hill_climb + work + " 16 --csv out.csv -- --partition=long");
    CHECK(outcome.status == 0);
    CHECK(has(outcome.out, "parts: job 71, tasks 1-16; gather: job 72"));
    const auto calls = stand_in.calls();
    const auto second = calls.substr(calls.find('\n') + 1);
    CHECK(has(calls, "--array=1-16"));
    CHECK(has(calls, "part.sbatch"));
    CHECK(has(second, "--dependency=afterok:71"));
    CHECK(has(second, "gather.sbatch"));
    CHECK(has(second, "--csv out.csv"));
    CHECK(has(second, "--partition=long"));
}

TEST_CASE("cluster scripts: --set entries and options of the parts reach the parts alone") {
    const StandIn stand_in;
    const auto work = stand_in.scratch.path("work");
    const auto outcome = stand_in.submit(
        "PLENAIR_SET='slot.land=6 mm;slot.edge_radius=1 mm' "
        "PLENAIR_PART_OPTIONS=--cpus-per-task=4 " +
        submit + hill_climb + work + " 2");
    CHECK(outcome.status == 0);
    const auto calls = stand_in.calls();
    const auto first = calls.substr(0, calls.find('\n'));
    CHECK(has(first, "--set slot.land=6 mm --set slot.edge_radius=1 mm"));
    CHECK(has(first, "--cpus-per-task=4"));
    CHECK_FALSE(has(calls.substr(first.size()), "cpus-per-task"));
}

TEST_CASE("cluster scripts: what cannot work is refused before anything is submitted") {
    const StandIn stand_in;
    const auto work = stand_in.scratch.path("work");
    CHECK(stand_in.submit(submit + hill_climb + work).status == 2);
    const auto parts = stand_in.submit(submit + hill_climb + work + " 0");
    CHECK(parts.status == 2);
    CHECK(has(parts.err, "parts '0': write a number from 1 to 99999"));
    const auto none = stand_in.submit(submit + "no/such/case.toml " + work + " 2");
    CHECK(none.status == 4);
    CHECK(has(none.err, "no/such/case.toml cannot be read"));
    const auto bad =
        stand_in.submit("PLENAIR_SET='slot.width=60 mm' " + submit + hill_climb + work + " 2");
    CHECK(bad.status == 2);
    CHECK(has(bad.err, "slot width 60 mm exceeds wall height 52 mm"));
    CHECK(stand_in.calls().empty());
}

TEST_CASE("cluster scripts: where Slurm cannot start, status 77 and the reason say so") {
    const StandIn stand_in;
    for (const std::string name : {"slurmctld", "slurmd", "sinfo"}) {
        stand_in.program(name, "exit 0\n");
    }
    stand_in.program("munged", "echo 'munged: no entropy' >&2; exit 1\n");
    const auto outcome =
        stand_in.submit("scripts/cluster/one-host start " + stand_in.scratch.path("slurm"));
    CHECK(outcome.status == 77);
    CHECK(has(outcome.err, "Slurm cannot start here: munged: munged: no entropy"));
    CHECK(stand_in.submit("scripts/cluster/one-host stop").status == 2);
}
