#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

namespace fs = std::filesystem;

namespace {

/// A case in a folder of its own; after every refusal the folder must be as it was.
class Bench final {
public:
    Bench() : text_(plenair::test::sweep_case("\"slot.width\" = \"4, 5 mm\"\n")) {
        case_file = scratch.write("own.toml", text_);
        result = scratch.write("old.json", "kept");
        table = scratch.write("other.csv", text_);
        fs::create_directory(scratch.path("sub"));
        files_ = scratch.count();
    }

    /// Runs and expects a refusal that holds all of `parts` and nothing but one line.
    void refused(const std::vector<std::string>& arguments,
                 const std::vector<std::string>& parts) const {
        CAPTURE(arguments.front());
        CAPTURE(parts.front());
        const auto outcome = run_plenair(arguments);
        CAPTURE(outcome.err);
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK(outcome.err.find('\n') == outcome.err.size() - 1);
        for (const auto& part : parts) {
            CHECK(has(outcome.err, part));
        }
        CHECK(scratch.count() == files_);
        CHECK(read_text(case_file) == text_);
        CHECK(read_text(table) == text_);
        CHECK(read_text(result) == "kept");
    }

    void expect_more_files(int number) { files_ += number; }

    ScratchFolder scratch;
    std::string case_file, result, table;

private:
    std::string text_;
    int files_ = 0;
};

}  // namespace

TEST_CASE("output: no verb writes over a file that it reads") {
    const Bench bench;
    const auto& own = bench.case_file;
    const std::string remedy = "name another file";
    for (const std::string verb : {"solve", "bench", "compare", "sweep"}) {
        bench.refused({verb, own, "--csv", own}, {"--csv " + own + ":", remedy});
        // A case by whatever ending: then the ending of the output is right.
        bench.refused({verb, bench.table, "--csv", bench.table},
                      {"--csv " + bench.table + ":", "would replace it", remedy});
    }
    for (const std::string verb : {"check", "solve", "bench", "compare", "trim", "sweep", "draw"}) {
        bench.refused({verb, own, "-o", own}, {"-o " + own + ":", "would replace it", remedy});
    }
    bench.refused({"report", own, bench.result, "-o", bench.result},
                  {"-o " + bench.result, remedy});
    bench.refused({"trim", bench.result, "-o", bench.result}, {"-o " + bench.result, remedy});
    bench.refused({"compare", own, bench.result, "-o", bench.result},
                  {"-o " + bench.result, remedy});
    bench.refused({"compare", own, bench.table, "--csv", bench.table},
                  {"--csv " + bench.table, remedy});
}

TEST_CASE("output: another spelling or a link is the same file") {
    Bench bench;
    const auto other = bench.scratch.path("sub/../other.csv");
    bench.refused({"solve", bench.table, "--csv", other},
                  {"--csv " + other + ": is the same file as " + bench.table});
    bench.refused({"solve", other, "--csv", bench.table}, {"is the same file as " + other});
    const auto soft = bench.scratch.path("soft.csv"), hard = bench.scratch.path("hard.csv");
    fs::create_symlink(bench.table, soft);
    fs::create_hard_link(bench.table, hard);
    bench.expect_more_files(2);
    for (const auto& link : {soft, hard}) {
        bench.refused({"solve", bench.table, "--csv", link}, {"--csv " + link, bench.table});
    }
    // Neither exists yet.
    const auto a = bench.scratch.path("new.csv"), b = bench.scratch.path("sub/.././new.csv");
    bench.refused({"solve", bench.case_file, "-o", a, "--csv", b},
                  {"-o " + a + " and --csv " + b + " name the same file; give two names"});
    const auto dangling = bench.scratch.path("dangling.csv");
    fs::create_symlink("new.csv", dangling);
    bench.expect_more_files(1);
    bench.refused({"solve", bench.case_file, "-o", a, "--csv", dangling}, {"name the same file"});
    fs::create_symlink(bench.scratch.path("sub"), bench.scratch.path("way"));
    bench.expect_more_files(1);
    const auto c = bench.scratch.path("sub/new.csv"), d = bench.scratch.path("way/new.csv");
    bench.refused({"bench", bench.case_file, "-o", c, "--csv", d}, {"name the same file"});
}

TEST_CASE("output: --csv does not write a table under the name of something else") {
    const Bench bench;
    for (const std::string ending : {".h5", ".json", ".toml", ".H5"}) {
        const auto path = bench.scratch.path("x" + ending);
        for (const std::string verb : {"solve", "sweep"}) {
            bench.refused({verb, bench.case_file, "--csv", path},
                          {"--csv " + path + ":", "use a name that ends in .csv", "x.csv"});
        }
    }
    bench.refused({"gather", bench.scratch.path("sub"), "--csv", bench.scratch.path("x.h5")},
                  {"use a name that ends in .csv"});
}

TEST_CASE("output: nothing is written over the work that a sweep keeps in its folder") {
    const Bench bench;
    const auto sub = bench.scratch.path("sub");
    for (const std::string name : {"sweep.json", "lock", "lock-1-of-2", "blocks/0000/x.csv"}) {
        bench.refused({"gather", sub, "--csv", sub + "/" + name},
                      {"--csv " + sub + "/" + name + ":", "keeps its own work there"});
    }
    const auto absent = bench.scratch.path("new.h5");
    bench.refused({"sweep", bench.case_file, "--folder", absent, "-o", absent},
                  {"-o " + absent + ": is the folder of the sweep; name a file"});
    bench.refused({"sweep", bench.case_file, "--folder", sub, "-o", sub + "/blocks/../sweep.json"},
                  {"keeps its own work there"});
}
