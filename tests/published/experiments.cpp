#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"
#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <sstream>
#include <string>
#include <vector>

// The experiments of tests/published/<name>/, from case file and command line as a user runs them.

namespace {

struct Row {
    std::string series, set;
    double x = 0, theirs = 0, low = 0, high = 0;
};

std::string folder(const std::string& name) {
    return std::string(PLENAIR_SOURCE_DIR) + "/tests/published/" + name;
}

std::vector<Row> read_data(const std::string& name) {
    std::istringstream lines(read_text(folder(name) + "/data.csv"));
    std::vector<Row> rows;
    bool head = true;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("#")) {
            continue;
        }
        if (head) {
            head = false;
            continue;
        }
        std::istringstream cells(line);
        Row row;
        std::string cell;
        std::getline(cells, row.series, ',');
        std::getline(cells, row.set, ',');
        for (double* value : {&row.x, &row.theirs, &row.low, &row.high}) {
            std::getline(cells, cell, ',');
            *value = std::stod(cell);
        }
        rows.push_back(row);
    }
    REQUIRE(!rows.empty());
    return rows;
}

/// First set-up of `plenair bench` on the experiment's case with the entries of a row.
nlohmann::json bench(const std::string& name, const std::string& sets) {
    std::vector<std::string> arguments = {
        "bench", folder(name) + "/case.toml", "--json", "--quiet"};
    std::istringstream entries(sets);
    for (std::string entry; std::getline(entries, entry, ';');) {
        arguments.insert(arguments.end(), {"--set", entry});
    }
    const Outcome done = run_process(PLENAIR_EXECUTABLE, arguments);
    REQUIRE_MESSAGE(done.status == 0, done.err);
    return nlohmann::json::parse(done.out)["set_ups"][0];
}

}  // namespace

TEST_CASE("experiment: twelve pairs of outlets along an air duct, each within the authors' 9 %") {
    // El Moueddeb K., Barrington S., Barthakur N. 1997, J. agric. Engng Res. 68, 29-37: measured
    // flows within 9 % of their momentum equation, which data.csv holds. Ours is to be nearer to it
    // than half of that.
    std::string last;
    std::vector<double> flow;
    for (const Row& row : read_data("perforated-duct-1997")) {
        if (row.set != last) {
            last = row.set;
            flow =
                bench("perforated-duct-1997", row.set)["hole_flow_kg_s"].get<std::vector<double>>();
            double sum = 0;
            for (const double f : flow) {
                sum += f;
            }
            for (double& f : flow) {
                f *= static_cast<double>(flow.size()) / sum;
            }
        }
        CAPTURE(row.series);
        CAPTURE(row.x);
        CHECK(flow[static_cast<std::size_t>(row.x) - 1] == near(row.theirs, 0.045));
    }
}

TEST_CASE("experiment: sharp rectangular slots in a thin plate within 2 % of water") {
    // Bovey's tests, Encyclopaedia Britannica 1911, Hydraulics, at the Reynolds number of the
    // water. 2 %: the digits printed and the unknown temperature of the water. The exact plane slot
    // knows no viscosity and stands beside the largest head only: 5 %, an uncalibrated slot.
    for (const Row& row : read_data("rectangular-slot-1911")) {
        CAPTURE(row.series);
        CAPTURE(row.x);
        const double cd = bench("rectangular-slot-1911", row.set)["cd"].get<double>();
        const bool plane = row.series.starts_with("exact");
        plenair::test::record(
            "Slot " + std::to_string(static_cast<int>(row.x)) + ":1 in a thin plate, " + row.series,
            "Bovey, Encyclopaedia Britannica 1911, Hydraulics (water)",
            cd,
            row.theirs,
            plane ? "5 %: without viscosity" : "2 %");
        CHECK(cd == near(row.theirs, plane ? 0.05 : 0.02));
    }
}

TEST_CASE("experiment: a perforated duct of aperture ratio 1 is evener than was measured") {
    // MacKinnon I. R. 1990, MSc thesis, McGill University: uniformity coefficient 90.28 %. A miss:
    // what is held here is its size, so that it cannot grow.
    for (const Row& row : read_data("perforated-duct-1990")) {
        const auto flow =
            bench("perforated-duct-1990", row.set)["hole_flow_kg_s"].get<std::vector<double>>();
        double mean = 0;
        for (const double f : flow) {
            mean += f / static_cast<double>(flow.size());
        }
        double deviation = 0;
        for (const double f : flow) {
            deviation += std::abs(f / mean - 1) / static_cast<double>(flow.size());
        }
        const double uniformity = 100 * (1 - deviation);
        plenair::test::record(
            "Uniformity coefficient of a perforated duct, aperture ratio 1 [%]",
            "MacKinnon 1990 (thesis, abstract), experiment",
            uniformity,
            row.theirs,
            "miss: the mean deviation measured holds the scatter of instrument and "
            "hand-cut outlets; no friction factor explains it");
        CHECK(uniformity > row.theirs);
        CHECK(uniformity == near(row.theirs, 0, 6.5));
    }
}
