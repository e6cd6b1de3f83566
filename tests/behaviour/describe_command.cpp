// Completions and the manual page come from the table of options itself; here they are held against
// what --help says, and used by a shell.
#include <doctest/doctest.h>

#include <filesystem>
#include <string>

#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

namespace {

/// What bash offers after these words, the last of them still being written.
std::string offered(const ScratchFolder& scratch, const std::string& words) {
    const auto script = scratch.write("complete.bash", run_plenair({"--completion", "bash"}).out);
    return run_process("/bin/bash",
                       {"-c",
                        "source '" + script + "'; COMP_WORDS=(" + words +
                            "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _plenair; "
                            "echo \"${COMPREPLY[*]}\""})
        .out;
}

}  // namespace

TEST_SUITE("describe") {
    TEST_CASE("completion: bash offers verbs, options of a verb, values of an option, files") {
        const ScratchFolder scratch;
        CHECK(has(offered(scratch, "plenair ''"), "check solve bench "));
        CHECK(offered(scratch, "plenair so") == "solve\n");
        CHECK(offered(scratch, "plenair solve --tr") == "--traces\n");
        CHECK(offered(scratch, "plenair solve --bands ''") == "on off\n");
        CHECK(offered(scratch, "plenair sweep --precision s") == "single\n");
        CHECK(offered(scratch, "plenair solve READ") == "README.md\n");
        CHECK(offered(scratch, "plenair check --traces") == "\n");
    }

    TEST_CASE("completion: each shell gets every verb, and another shell is refused") {
        for (const std::string shell : {"bash", "zsh", "fish"}) {
            CAPTURE(shell);
            const auto outcome = run_plenair({"--completion", shell});
            CHECK(outcome.status == 0);
            CHECK(outcome.err.empty());
            for (const std::string verb : {"check", "solve", "bench", "compare", "report"}) {
                CHECK(has(outcome.out, verb));
            }
            CHECK(has(outcome.out, "precision"));
        }
        CHECK(run_plenair({"--completion", "dash"}).status == 2);
        CHECK(has(run_plenair({"--completion", "fish"}).out, "-l bands -x -a 'on off'"));
        CHECK(has(run_plenair({"--completion", "zsh"}).out, "--bands["));
    }

    TEST_CASE("manual page: it has every verb with its options and its example") {
        const auto outcome = run_plenair({"--manual-page"});
        CHECK(outcome.status == 0);
        CHECK(outcome.out.starts_with(".\\\""));
        CHECK(has(outcome.out, ".SH PLENAIR SOLVE"));
        CHECK(has(outcome.out, "\\fB\\-\\-bands\\fR \\fIon|off\\fR"));
        CHECK(has(outcome.out, "plenair solve case.toml \\-\\-set"));
        CHECK(has(outcome.out, "not an approval"));
        if (!std::filesystem::exists("/usr/bin/groff")) {
            MESSAGE("SKIPPED: groff is not installed");
            return;
        }
        const ScratchFolder scratch;
        const auto page = scratch.write("plenair.1", outcome.out);
        const auto shown =
            run_process("/usr/bin/groff", {"-man", "-Tascii", "-P-cbou", "-ww", page});
        CHECK(shown.status == 0);
        CHECK(shown.err.empty());
        CHECK(has(shown.out, "--bands on|off"));
    }
}
