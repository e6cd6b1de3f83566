#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/running_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

namespace fs = std::filesystem;
using plenair::test::sweep_case;

namespace {

std::vector<std::string> cells_of(const std::string& row) {
    std::vector<std::string> cells(1);
    for (const char c : row) {
        if (c == ',') {
            cells.emplace_back();
        } else {
            cells.back() += c;
        }
    }
    return cells;
}

/// 3 widths, one of them impossible, 3 land radii, 2 plenums.
const std::string eighteen =
    "\"slot.width\" = \"4, 6, 60 mm\"\n"
    "\"slot.edge_radius\" = \"1, 2, 3 mm\"\n"
    "\"plenum.area\" = \"5600, 6400 mm2\"\n";

std::string widths(int count) {
    return "\"slot.width\" = { from = \"4 mm\", to = \"9 mm\", steps = " + std::to_string(count) +
           " }\n";
}

template <class Condition>
bool wait_for(Condition condition) {
    for (int i = 0; i < 2000; ++i) {
        if (condition()) {
            return true;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    return false;
}

std::size_t blocks_in(const std::string& folder) {
    std::size_t blocks = 0;
    std::error_code ignored;
    for (const auto& entry : fs::recursive_directory_iterator(folder + "/blocks", ignored)) {
        blocks += entry.path().extension() == ".cbor" ? 1 : 0;
    }
    return blocks;
}

}  // namespace

TEST_SUITE("result") {
    TEST_CASE("sweep: every variant and point has a row; an impossible variant says why") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(eighteen, false));
        const auto folder = scratch.path("store"), csv = scratch.path("rows.csv");
        const auto outcome = run_plenair({"sweep", path, "--folder", folder, "--csv", csv});
        CAPTURE(outcome.err);
        CHECK(outcome.status == 0);
        CHECK(has(outcome.out, "18 variants x 5 points by grid"));
        CHECK(has(outcome.out, "6 variants could not be built"));
        const auto rows = split(read_text(csv), '\n');
        REQUIRE(rows.size() == 91);
        CHECK(
            rows[0].starts_with("variant_number,slot.width_mm,slot.edge_radius_mm,plenum.area_"
                                "mm2,point,status_text,reason_text,speed_rpm,"));
        CHECK(rows[1].starts_with("1,4,1,5600,A1,complete,,3500,"));
        CHECK(rows[60].starts_with("12,6,3,6400,A5,complete,,5500,"));
        CHECK(rows[90].starts_with(
            "18,60,3,6400,A5,failed,slot.width = 60 mm: slot width 60 mm exceeds wall height 52"));
        const auto columns = std::count(rows[0].begin(), rows[0].end(), ',');
        for (const auto& row : rows) {
            CHECK(std::count(row.begin(), row.end(), ',') == columns);
        }
        // The same variant alone gives the same numbers, but for the sweep's own tolerance.
        const auto alone = run_plenair({"solve",
                                        path,
                                        "--set",
                                        "slot.width=6 mm",
                                        "--set",
                                        "slot.edge_radius=3 mm",
                                        "--json"});
        const auto point = nlohmann::json::parse(alone.out).at("points").at(4);
        const auto cell = [&](const std::string& name) {
            const auto names = cells_of(rows[0]);
            const auto at = std::find(names.begin(), names.end(), name) - names.begin();
            return std::stod(cells_of(rows[60]).at(static_cast<std::size_t>(at)));
        };
        CHECK(cell("air_flow_g_s") == near(1e3 * point.at("air_flow_kg_s").get<double>(), 3e-4));
    }

    TEST_CASE("sweep: the file is the same bytes at any number of threads, and in parts") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(widths(40)));
        const auto at = [&](const std::string& name) { return scratch.path(name); };
        for (const std::string threads : {"1", "2", "8"}) {
            CHECK(run_plenair({"sweep",
                               path,
                               "--folder",
                               at("by" + threads),
                               "--threads",
                               threads,
                               "--quiet",
                               "--csv",
                               at(threads + ".csv")})
                      .status == 0);
        }
        for (const std::string part : {"3/3", "1/3"}) {
            const auto outcome =
                run_plenair({"sweep", path, "--folder", at("parts"), "--part", part});
            CHECK(outcome.status == 0);
            CHECK_FALSE(fs::exists(at("parts/result.h5")));
        }
        const auto early = run_plenair({"gather", at("parts")});
        CHECK(early.status == 4);
        CHECK(has(
            early.err,
            "2 of 5 blocks are not there yet; run sweep on this folder again with --part 2/3, "));
        CHECK(run_plenair({"sweep", path, "--folder", at("parts"), "--part", "2/3", "--json"})
                  .status == 0);
        const auto gathered = run_plenair({"gather",
                                           at("parts"),
                                           "-o",
                                           at("gathered.h5"),
                                           "--csv",
                                           at("gathered.csv"),
                                           "--json"});
        CHECK(gathered.status == 0);
        CHECK(nlohmann::json::parse(gathered.out).at("format") == "plenair.sweep/1");
        const auto bytes = read_text(at("by1/result.h5"));
        CHECK(bytes.size() > 10000);
        CHECK(read_text(at("by2/result.h5")) == bytes);
        CHECK(read_text(at("by8/result.h5")) == bytes);
        CHECK(read_text(at("gathered.h5")) == bytes);
        CHECK(read_text(at("gathered.csv")) == read_text(at("1.csv")));
        CHECK(read_text(at("8.csv")) == read_text(at("1.csv")));
    }

    TEST_CASE("sweep: ncdump and h5py read the file") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"4, 60 mm\"\n"));
        const auto file = scratch.path("result.h5");
        CHECK(run_plenair({"sweep", path, "--folder", scratch.path("store"), "-o", file}).status ==
              0);
        const auto dump = run_process("/usr/bin/ncdump", {"-h", file});
        CHECK(dump.status == 0);
        CHECK(has(dump.out, "double bias(variant, point, cylinder)"));
        CHECK(has(dump.out, "double input_slot_width(variant)"));
        const auto python =
            run_process("/usr/bin/python3",
                        {"-c",
                         "import h5py, sys, math\n"
                         "f = h5py.File(sys.argv[1])\n"
                         "assert f['bias'].shape == (2, 1, 4)\n"
                         "assert list(f['input_slot_width'][:]) == [0.004, 0.06]\n"
                         "assert f['input_slot_width'].attrs['units'] == 'm'\n"
                         "assert list(f['status'][:]) == [0, 2]\n"
                         "assert abs(f['share'][0, 0].sum() - 1) < 1e-12\n"
                         "assert math.isnan(f['air_flow'][1, 0])\n"
                         "assert b'exceeds wall height' in f['variant_failure'][1]\n"
                         "assert f['bias'].dims[0][0].name == '/variant'\n",
                         file});
        CAPTURE(python.err);
        CHECK(python.status == 0);
    }

    TEST_CASE("sweep: without one result it ends with status 3, and the file says why") {
        const ScratchFolder scratch;
        const auto path =
            scratch.write("case.toml", sweep_case("\"slot.width\" = \"60, 61 mm\"\n"));
        const auto outcome = run_plenair({"sweep", path, "--folder", scratch.path("store")});
        CHECK(outcome.status == 3);
        CHECK(has(outcome.err, "not one point has a result"));
        CHECK(fs::exists(scratch.path("store/result.h5")));
    }

    TEST_CASE("sweep: memory does not grow with the number of variants") {
        const ScratchFolder scratch;
        // Variants that fail at once: what is left is reading, storing and joining.
        const auto peak = [&](int count) {
            const auto name = std::to_string(count);
            const auto path = scratch.write(
                name + ".toml",
                sweep_case("\"slot.width\" = { from = \"60 mm\", to = \"90 mm\", steps = " + name +
                           " }\n"));
            RunningProcess run(PLENAIR_EXECUTABLE,
                               {"sweep", path, "--folder", scratch.path(name)},
                               scratch.path("out"));
            CHECK(run.wait() == 3);
            return run.peak_memory();
        };
        // Both in blocks of 512, of which each thread holds one.
        const double few = peak(8500), many = peak(25000);
#ifdef __SANITIZE_ADDRESS__
        MESSAGE("SKIPPED: an address sanitizer keeps freed memory; peaks ", few, " and ", many);
        return;
#endif
        CHECK(few < 60e6);
        // The file's own buffers; 16,500 variants with their results would be above 50 MB.
        CHECK(many - few < 8e6);
    }
}

TEST_SUITE("usage") {
    TEST_CASE("sweep: wrong usage ends with status 2 and leaves no folder") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(widths(4)));
        const auto store = scratch.path("store");
        const std::vector<std::vector<std::string>> wrong{
            {"--part", "0/3"},
            {"--part", "4/3"},
            {"--part", "1"},
            {"--part", "1/x"},
            {"--limit", "3"},
            {"--limit", "0"},
            {"--threads", "0"},
            {"--threads", "10000"},
            {"-o", scratch.path("result.json")},
            {"--set", "slot.widht=3 mm"},
        };
        for (const auto& words : wrong) {
            std::vector<std::string> arguments{"sweep", path, "--folder", store};
            arguments.insert(arguments.end(), words.begin(), words.end());
            CAPTURE(words.back());
            const auto outcome = run_plenair(arguments);
            CHECK(outcome.status == 2);
            CHECK(outcome.out.empty());
            CHECK_FALSE(outcome.err.empty());
            CHECK(scratch.count() == 1);
        }
        CHECK(has(run_plenair({"sweep", path, "--folder", store, "--limit", "3"}).err,
                  "4 variants, the limit is 3"));
        CHECK(run_plenair({"gather"}).status == 2);
        const auto nothing = run_plenair({"gather", scratch.path("absent")});
        CHECK(nothing.status == 4);
        CHECK(has(nothing.err, "is no sweep folder"));
    }

    TEST_CASE("sweep: a folder of another case, sweep or version is refused by name") {
        const ScratchFolder scratch;
        const auto store = scratch.path("store");
        const auto path = scratch.write("case.toml", sweep_case(widths(2)));
        REQUIRE(run_plenair({"sweep", path, "--folder", store, "--quiet"}).status == 0);
        const auto before = read_text(store + "/result.h5");
        const auto other_case =
            run_plenair({"sweep", path, "--folder", store, "--set", "slot.land=7 mm"});
        CHECK(other_case.status == 2);
        CHECK(has(other_case.err, "holds another case"));
        const auto other = scratch.write("other.toml", sweep_case(widths(3)));
        const auto other_sweep = run_plenair({"sweep", other, "--folder", store});
        CHECK(other_sweep.status == 2);
        CHECK(has(other_sweep.err, "holds another sweep (2 variants by grid"));
        const auto single =
            run_plenair({"sweep", path, "--folder", store, "--precision", "single"});
        CHECK(has(single.err, "grid, precision double, tolerance 0.0001; this one: 2 variants by"));
        const auto values = scratch.write(
            "values.toml",
            sweep_case("\"slot.width\" = { from = \"4 mm\", to = \"8 mm\", steps = 2 }\n"));
        CHECK(has(run_plenair({"sweep", values, "--folder", store}).err,
                  "of other entries or values"));
        auto info = read_text(store + "/sweep.json");
        const std::string program = "\"program\": \"0.1.0";
        REQUIRE(has(info, program));
        info.replace(info.find(program), program.size(), "\"program\": \"0.0.9");
        (void)scratch.write("store/sweep.json", info);
        for (const auto& arguments : {std::vector<std::string>{"sweep", path, "--folder", store},
                                      std::vector<std::string>{"gather", store}}) {
            const auto version = run_plenair(arguments);
            CHECK(version.status == 2);
            CHECK(has(version.err, "by plenair 0.0.9"));
            CHECK(has(version.err, "this is plenair 0.1.0"));
        }
        CHECK(read_text(store + "/result.h5") == before);
    }
}

TEST_SUITE("interrupted") {
    TEST_CASE("sweep: Ctrl-C keeps finished blocks, and the same command goes on") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(widths(800)));
        const auto store = scratch.path("store");
        RunningProcess run(PLENAIR_EXECUTABLE,
                           {"sweep", path, "--folder", store, "--threads", "1"},
                           scratch.path("out"));
        REQUIRE(wait_for([&] { return blocks_in(store) >= 2; }));
        run.send(SIGINT);
        CHECK(run.wait() == 128 + SIGINT);
        const auto kept = blocks_in(store);
        CHECK(kept < 13);
        CHECK(has(read_text(scratch.path("out")),
                  std::to_string(kept) +
                      " of 13 blocks of up to 64 variants are finished and kept in " + store));
        CHECK_FALSE(fs::exists(store + "/result.h5"));
        const auto again = run_plenair({"sweep", path, "--folder", store, "--json"});
        CHECK(again.status == 0);
        const auto summary = nlohmann::json::parse(again.out);
        CHECK(summary.at("blocks_found") == kept);
        CHECK(summary.at("blocks_computed") == 13 - kept);
    }

    TEST_CASE("sweep: a second run in one folder is refused with the first one's name") {
        const ScratchFolder scratch;
        const auto path = scratch.write("case.toml", sweep_case(widths(2000)));
        const auto store = scratch.path("store");
        RunningProcess whole(
            PLENAIR_EXECUTABLE, {"sweep", path, "--folder", store}, scratch.path("out"));
        REQUIRE(wait_for([&] { return fs::exists(store + "/sweep.json"); }));
        const auto holder = "in use by process " + std::to_string(whole.id()) + " on ";
        for (const std::string part : {"1/1", "2/2"}) {
            const auto second = run_plenair({"sweep", path, "--folder", store, "--part", part});
            CHECK(second.status == 4);
            CHECK(has(second.err, holder));
        }
        whole.send(SIGKILL);
        whole.wait();
        // A killed holder leaves no lock. Parts stand side by side, the same part does not.
        RunningProcess part(PLENAIR_EXECUTABLE,
                            {"sweep", path, "--folder", store, "--part", "1/2"},
                            scratch.path("out"));
        REQUIRE(wait_for([&] { return !read_text(store + "/lock-1-of-2").empty(); }));
        const auto name = "process " + std::to_string(part.id()) + " on ";
        const auto same = run_plenair({"sweep", path, "--folder", store, "--part", "1/2"});
        CHECK(same.status == 4);
        CHECK(has(same.err, name));
        CHECK(has(same.err, "part 1 of 2"));
        const auto alone = run_plenair({"sweep", path, "--folder", store});
        CHECK(alone.status == 4);
        CHECK(has(alone.err, name));
        RunningProcess other(PLENAIR_EXECUTABLE,
                             {"sweep", path, "--folder", store, "--part", "2/2"},
                             scratch.path("out2"));
        CHECK(wait_for([&] { return !read_text(store + "/lock-2-of-2").empty(); }));
    }
}
