#include "cases/store/store.hpp"

#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/store/grid_reader.hpp"
#include "cases/store/grid_writer.hpp"
#include "cases/store/root.hpp"
#include "cases/study/error.hpp"
#include "cases/study/version.hpp"
#include "tests/support/near.hpp"
#include "tests/support/sample_results.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>
#include <string>

using namespace plenair;
namespace fs = std::filesystem;

namespace {

/// A folder of its own for one test, gone afterwards.
class Folder final {
public:
    Folder() {
        std::string pattern = (fs::temp_directory_path() / "plenair-store-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const {
        return (path_ / name).string();
    }
    [[nodiscard]] std::size_t count() const {
        return static_cast<std::size_t>(
            std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
    }

private:
    fs::path path_;
};

std::string bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// What a command prints; empty where it fails.
std::string output_of(const std::string& command) {
    std::string text;
    std::FILE* pipe = popen((command + " 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    for (int sign = std::fgetc(pipe); sign != EOF; sign = std::fgetc(pipe)) {
        text += static_cast<char>(sign);
    }
    return pclose(pipe) == 0 ? text : "";
}

/// Names of all fields, whatever their depth.
void add_fields(const nlohmann::json& value, std::set<std::string>& names) {
    for (const auto& [key, field] : value.items()) {
        if (value.is_object()) names.insert(key);
        if (field.is_structured()) add_fields(field, names);
    }
}

bool runs(const std::string& command) {
    return std::system((command + " > /dev/null 2>&1").c_str()) == 0;
}

}  // namespace

TEST_CASE("store: a converged point reads back equal to the last bit") {
    const Folder folder;
    const SolveResult written = test::sample_solve();

    write_results(folder.file("a.h5"), written);
    const SolveResult read = read_results(folder.file("a.h5"));

    CHECK(read.title == written.title);
    CHECK(read.case_digest == written.case_digest);
    CHECK(read.case_text == written.case_text);
    CHECK(read.summary == written.summary);
    REQUIRE(read.points.size() == 2);
    const PointResult &a = read.points[0], &b = written.points[0];
    CHECK(a.name == b.name);
    CHECK(a.converged);
    CHECK(a.cycles == b.cycles);
    CHECK(a.notes == b.notes);
    CHECK(a.speed == b.speed);
    CHECK(a.mass_balance == b.mass_balance);
    CHECK(a.flow_balance == b.flow_balance);
    CHECK(a.spread == b.spread);
    CHECK(a.end_bias == b.end_bias);
    CHECK(a.bias_band == b.bias_band);
    CHECK(a.port_loss == b.port_loss);
    CHECK(a.inlet_mach_index == b.inlet_mach_index);
    REQUIRE(a.cylinders.size() == 2);
    CHECK(a.cylinders[1].cylinder == 2);
    CHECK(a.cylinders[1].firing_position == 2);
    CHECK(a.cylinders[1].air_trapped == b.cylinders[1].air_trapped);
    CHECK(a.cylinders[1].bias == b.cylinders[1].bias);
    CHECK(a.cylinders[1].mouth_velocity_peak == b.cylinders[1].mouth_velocity_peak);
}

TEST_CASE("store: profiles and traces read back equal") {
    const Folder folder;
    const SolveResult written = test::sample_solve();

    write_results(folder.file("a.h5"), written);
    const PointResult a = read_results(folder.file("a.h5")).points[0];

    const PointResult& b = written.points[0];
    REQUIRE(a.pressures.size() == 1);
    CHECK(a.pressures[0].part == "plenum");
    CHECK(a.pressures[0].x == b.pressures[0].x);
    CHECK(a.pressures[0].mean == b.pressures[0].mean);
    CHECK(a.pressures[0].high == b.pressures[0].high);
    REQUIRE(a.slots.size() == 1);
    CHECK(a.slots[0].flow_per_length == b.slots[0].flow_per_length);
    CHECK(a.crank_angle == b.crank_angle);
    REQUIRE(a.traces.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(a.traces[i].quantity == b.traces[i].quantity);
        CHECK(a.traces[i].cylinder == b.traces[i].cylinder);
        CHECK(a.traces[i].unit == b.traces[i].unit);
        CHECK(a.traces[i].value == b.traces[i].value);
    }
}

TEST_CASE("store: points keep their own steps of crank angle") {
    const Folder folder;
    SolveResult written = test::sample_solve();
    written.points[1].crank_angle = {0, 2};
    written.points[1].traces = {{"runner_mouth_velocity", 2, "m/s", {9, 8}}};

    write_results(folder.file("a.h5"), written);
    const SolveResult read = read_results(folder.file("a.h5"));

    CHECK(read.points[0].crank_angle == written.points[0].crank_angle);
    CHECK(read.points[1].crank_angle == written.points[1].crank_angle);
    REQUIRE(read.points[1].traces.size() == 1);
    CHECK(read.points[1].traces[0].cylinder == 2);
    CHECK(read.points[1].traces[0].value == written.points[1].traces[0].value);
}

TEST_CASE("store: a point that did not converge keeps its failure and loses its shares") {
    const Folder folder;

    write_results(folder.file("a.h5"), test::sample_solve());
    const PointResult bad = read_results(folder.file("a.h5")).points[1];
    const auto share = GridReader(folder.file("a.h5")).doubles("share");

    CHECK_FALSE(bad.converged);
    CHECK(bad.failure == "residual 0.02 after 3 cycles, 1e-06 wanted");
    CHECK(bad.cylinders.at(0).share == 0);
    CHECK(bad.spread == 0);
    CHECK(std::isnan(share.at(2)));
    CHECK(std::isnan(share.at(3)));
}

TEST_CASE("store: equal results give equal bytes") {
    const Folder folder;

    write_results(folder.file("a.h5"), test::sample_solve());
    write_results(folder.file("b.h5"), test::sample_solve());

    CHECK(bytes_of(folder.file("a.h5")) == bytes_of(folder.file("b.h5")));
}

TEST_CASE("store: every dataset says its units and its name in words") {
    const Folder folder;
    write_results(folder.file("a.h5"), test::sample_solve());
    write_results(folder.file("b.h5"), test::sample_bench());

    for (const char* name : {"a.h5", "b.h5"}) {
        const GridReader file(folder.file(name));
        for (const auto& dataset : file.names()) {
            const bool bare = dataset == "runner" || dataset == "slot_station" ||
                              dataset == "pressure_station" || dataset == "hole" ||
                              dataset == "sample";
            if (bare) continue;  // a dimension of which only the size is known
            CAPTURE(dataset);
            CHECK_FALSE(file.text_attribute(dataset, "units").empty());
            CHECK_FALSE(file.text_attribute(dataset, "long_name").empty());
        }
        CHECK(file.int_attribute("format_version") == results_format_version);
        CHECK(file.text_attribute("version") == version());
        CHECK(file.text_attribute("git_sha") == git_sha());
    }
}

TEST_CASE("store: a case text above 64 KiB is kept whole") {
    const Folder folder;
    SolveResult result = test::sample_solve();
    result.case_text.assign(200000, '#');

    write_results(folder.file("a.h5"), result);

    CHECK(read_results(folder.file("a.h5")).case_text == result.case_text);
}

TEST_CASE("store: a folder that does not exist is named with the reason, and nothing is left") {
    const Folder folder;
    const std::string path = folder.file("none/a.h5");

    CHECK_THROWS_WITH_AS(write_results(path, test::sample_solve()),
                         doctest::Contains("none/a.h5: cannot write: No such file or directory"),
                         WriteError);
    CHECK(folder.count() == 0);
}

TEST_CASE("store: a failed write leaves the old file as it was") {
    const Folder folder;
    write_results(folder.file("a.h5"), test::sample_solve());
    const std::string before = bytes_of(folder.file("a.h5"));
    SolveResult broken = test::sample_solve();
    broken.points[0].traces[0].value.pop_back();

    CHECK_THROWS_WITH_AS(
        write_results(folder.file("a.h5"), broken),
        doctest::Contains("A4: trace runner_mouth_velocity: 3 values on a grid of 4"),
        WriteError);

    CHECK(bytes_of(folder.file("a.h5")) == before);
    CHECK(folder.count() == 1);
}

TEST_CASE("store: another format version is refused by name") {
    const Folder folder;
    {
        GridWriter file(folder.file("a.h5"));
        file.attribute("format", "plenair.solve");
        file.attribute("format_version", 99);
        file.attribute("version", "7.1.0");
        file.finish();
    }

    CHECK_THROWS_WITH_AS(
        read_results(folder.file("a.h5")),
        doctest::Contains(
            "format version 99 written by plenair 7.1.0; this program reads version 1"),
        ReadError);
}

TEST_CASE("store: bench results and foreign files are refused as solve results") {
    const Folder folder;
    write_results(folder.file("bench.h5"), test::sample_bench());
    std::ofstream(folder.file("text.h5")) << "not HDF5\n";

    CHECK_THROWS_WITH_AS(read_results(folder.file("bench.h5")),
                         doctest::Contains("holds plenair.bench, not plenair.solve"),
                         ReadError);
    CHECK_THROWS_WITH_AS(read_results(folder.file("text.h5")),
                         doctest::Contains("text.h5: not an HDF5 file"),
                         ReadError);
    CHECK_THROWS_WITH_AS(read_results(folder.file("none.h5")),
                         doctest::Contains("none.h5: cannot read: No such file"),
                         ReadError);
}

TEST_CASE("store: a file whose sizes do not fit together is refused") {
    const Folder folder;
    {
        GridWriter file(folder.file("a.h5"));
        write_root(file, {"plenair.solve", "t", "d", "c"});
        file.attribute("summary", "s");
        file.dimension({"point", "1", "point"}, std::vector<int>{1, 2});
        file.dimension({"other", "1", "other"}, std::vector<int>{1});
        file.variable({"point_name", "1", "n"}, {"point"}, std::vector<std::string>{"a", "b"});
        for (const char* name : {"failure", "notes"}) {
            file.variable({name, "1", "n"}, {"other"}, std::vector<std::string>{""});
        }
        for (const char* name : {"converged", "cycles"}) {
            file.variable({name, "1", "n"}, {"other"}, std::vector<int>{1});
        }
        file.finish();
    }

    CHECK_THROWS_WITH_AS(read_results(folder.file("a.h5")),
                         doctest::Contains("a.h5: the sizes of its datasets do not fit together"),
                         ReadError);
}

TEST_CASE("store: bench lists of different length end in NaN") {
    const Folder folder;

    write_results(folder.file("b.h5"), test::sample_bench());

    const GridReader file(folder.file("b.h5"));
    const auto runners = file.doubles("flow_per_runner");
    REQUIRE(runners.size() == 9);
    CHECK(std::isnan(runners[0]));
    CHECK(runners[3] == near(0.198, 0));
    CHECK(file.extents("flow_per_length") == std::vector<std::size_t>{3, 4});
    CHECK(file.strings("set_up_name")[1] == "all open");
    CHECK(std::isnan(file.doubles("flow")[2]));  // did not converge
}

TEST_CASE("store: ncdump lists dimensions, variables and units unaided") {
    if (!runs("command -v ncdump")) {
        MESSAGE("SKIPPED: ncdump is not installed (package netcdf-bin)");
        return;
    }
    const Folder folder;
    write_results(folder.file("a.h5"), test::sample_solve());
    write_results(folder.file("b.h5"), test::sample_bench());

    const std::string solve = output_of("ncdump " + folder.file("a.h5"));
    const std::string bench = output_of("ncdump " + folder.file("b.h5"));

    for (const char* expected : {"point = 2 ;",
                                 "cylinder = 2 ;",
                                 "sample = 4 ;",
                                 "double share(point, cylinder) ;",
                                 "air_trapped:units = \"kg\"",
                                 "double trace_runner_mouth_velocity(point, cylinder, sample)",
                                 "double plenum_pressure_mean(point, plenum_x) ;",
                                 "string point_name(point) ;",
                                 "\"A4\", \"A5\""}) {
        CAPTURE(expected);
        CHECK(solve.find(expected) != std::string::npos);
    }
    CHECK(bench.find("double flow_per_runner(set_up, runner) ;") != std::string::npos);
    CHECK(bench.find("double runner(runner)") == std::string::npos);
}

TEST_CASE("store: h5py finds the dimension scales") {
    const std::string python = "/usr/bin/python3";
    if (!runs(python + " -c 'import h5py'")) {
        MESSAGE("SKIPPED: h5py is not installed (package python3-h5py)");
        return;
    }
    const Folder folder;
    write_results(folder.file("a.h5"), test::sample_solve());

    const std::string text = output_of(
        python + " -c \"import h5py; f = h5py.File('" + folder.file("a.h5") +
        "'); d = f['share']; print(d.dims[0][0].name, d.dims[1][0].name, d.attrs['units'], "
        "d[0, 0])\"");

    CHECK(text == "/point /cylinder 1 0.50375\n");
}

TEST_CASE("store: docs/results-file.md lists every dataset, JSON field and CSV column") {
    std::ifstream stream(PLENAIR_SOURCE_DIR "/docs/results-file.md");
    const std::string page{std::istreambuf_iterator<char>(stream), {}};
    const Folder folder;
    write_results(folder.file("a.h5"), test::sample_solve());
    write_results(folder.file("b.h5"), test::sample_bench());
    std::set<std::string> names;
    for (const char* file : {"a.h5", "b.h5"}) {
        for (const auto& name : GridReader(folder.file(file)).names()) {
            const bool of_a_part = name.starts_with("plenum_") || name.starts_with("slot_1_") ||
                                   name.starts_with("trace_");
            if (!of_a_part) names.insert(name);
        }
    }
    for (const auto& text : {json_text(test::sample_solve()), json_text(test::sample_bench())}) {
        add_fields(nlohmann::json::parse(text), names);
    }
    for (const auto& text : {csv_text(test::sample_solve()), csv_text(test::sample_bench())}) {
        std::istringstream columns(text.substr(0, text.find('\n')));
        for (std::string name; std::getline(columns, name, ',');) names.insert(name);
    }

    CHECK(names.size() > 60);
    for (const auto& name : names) {
        CAPTURE(name);
        CHECK((page.find("`" + name + "`") != std::string::npos ||
               page.find("`" + name + "[]`") != std::string::npos));
    }
}
