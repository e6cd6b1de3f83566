#include <doctest/doctest.h>

#include <numbers>
#include <string>
#include <vector>

#include "cases/file/read.hpp"
#include "cases/study/cost.hpp"
#include "geometry/error.hpp"
#include "solver/march/cost.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

// What would take more memory or time than there is must be refused by name before any is taken.

using namespace plenair;

namespace {

/// The shipped four at one point.
std::string four(const std::string& speed, const std::string& cells) {
    const std::string text =
        read_text(std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/hill-climb-four/case.toml");
    return text.substr(0, text.find("[[point]]")) + "[[point]]\nname = \"A\"\nspeed = \"" + speed +
           "\"\npressure = \"180 kPa abs\"\ntemperature = \"306 K\"\nexhaust_pressure = \"172 kPa "
           "abs\"\n[model]\ncells = \"" +
           cells + "\"\n";
}

std::string refusal(const std::string& speed, const std::string& cells) {
    try {
        (void)parse_case(four(speed, cells), "case.toml", {});
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

/// What stands in quotes behind "write ".
std::string advised(const std::string& message) {
    const auto from = message.find("write \"") + 7;
    return message.substr(from, message.find('"', from) - from);
}

}  // namespace

TEST_CASE(
    "cost: speeds that take more than there is are refused at the speed, and the advice helps") {
    for (const char* speed : {"0.001 rpm", "0.01 rpm", "0.1 rpm", "1 rpm"}) {
        const std::string message = refusal(speed, "certified");
        CAPTURE(message);
        CHECK(message.find("speed = " + std::string(speed)) != std::string::npos);
        CHECK(message.find("300 MB at most") != std::string::npos);
        CHECK(refusal(advised(message), "certified").empty());
    }
    CHECK(refusal("100 rpm", "certified").empty());
}

TEST_CASE(
    "cost: cells that take more than there is are refused at the cells, and the advice helps") {
    for (const char* cells :
         {"largest cell 0.00001 mm", "largest cell 0.001 mm", "largest cell 0.02 mm"}) {
        const std::string message = refusal("900 rpm", cells);
        CAPTURE(message);
        CHECK(message.find("model.cells = " + std::string(cells)) != std::string::npos);
        CHECK(refusal("900 rpm", advised(message)).empty());
    }
}

TEST_CASE("cost: a throttle at its stop passes no air, and is refused for it") {
    std::string text = four("8600 rpm", "certified");
    text.insert(text.find("[model]"), "throttle_angle = \"8 deg\"\n");
    try {
        (void)parse_case(text, "case.toml", {});
        FAIL("accepted");
    } catch (const InputError& error) {
        CHECK(std::string(error.what()).find("passes no air") != std::string::npos);
    }
}

TEST_CASE("cost: a point from a program is refused as one from a file is") {
    Case c = parse_case(four("900 rpm", "certified"), "case.toml", {});
    c.points.front().speed = 0.01 * std::numbers::pi / 30.0;
    const PointResult r = solve_point(c.intake, c.engine, c.points.front(), c.model, {});
    CHECK_FALSE(r.converged);
    CHECK(r.failure.find("too much to compute") != std::string::npos);
    CHECK(r.cylinders.empty());
}

TEST_CASE("cost: long work is announced with what makes it long, short work is not") {
    const Case fine = parse_case(four("900 rpm", "largest cell 1 mm"), "case.toml", {});
    const std::vector<const Case*> one{&fine};
    const std::string text = work_text(expected_work(one, 1, 1));
    CAPTURE(text);
    CHECK(text.find("about ") == 0);
    CHECK(text.find("point 'A' (900 rpm") != std::string::npos);
    CHECK(text.find("cells of 1 mm") != std::string::npos);
    const Case usual = parse_case(four("900 rpm", "certified"), "case.toml", {});
    const std::vector<const Case*> other{&usual};
    CHECK(work_text(expected_work(other, 1, 1)).empty());
}

TEST_CASE("cost: steps are those of a march within a factor of two") {
    for (const char* speed : {"900 rpm", "3500 rpm", "8600 rpm"}) {
        const Case c = parse_case(four(speed, "certified"), "case.toml", {});
        CycleOptions options;
        options.traces = true;
        const PointResult r = solve_point(c.intake, c.engine, c.points.front(), c.model, options);
        const Cost cost = point_cost(c.intake, c.engine, c.points.front(), c.model);
        const auto steps = static_cast<double>(r.crank_angle.size());
        CAPTURE(speed);
        CAPTURE(steps);
        CHECK(cost.steps > 0.5 * steps);
        CHECK(cost.steps < 2.0 * steps);
    }
}

TEST_CASE("cost: a point that did not converge keeps the traces of its last cycle") {
    Case c = parse_case(four("3500 rpm", "certified"), "case.toml", {});
    c.model.max_cycles = 2;
    CycleOptions options;
    options.traces = true;
    const PointResult r = solve_point(c.intake, c.engine, c.points.front(), c.model, options);
    CHECK_FALSE(r.converged);
    REQUIRE(!r.traces.empty());
    CHECK(r.crank_angle.size() > 100);
    for (const auto& trace : r.traces) {
        CHECK(trace.value.size() == r.crank_angle.size());
    }
}
