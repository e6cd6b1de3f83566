#include "tests/support/layouts.hpp"
#include "tests/support/measured.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

/// Loggers' files among the readings. Numbers are made up.
namespace {

using plenair::Case;
using plenair::test::measured;
using plenair::test::MeasuredFolder;
using plenair::test::refusal;

}  // namespace

TEST_CASE("measured file: a log that was refused is read once its message is followed") {
    const MeasuredFolder folder("remedied-log");
    const auto map =
        [](const std::string& file, const std::string& time, const std::string& speed) {
            return "[[log]]\nfile = \"" + file + "\"\ntime = \"" + time + "\"\nspeed = \"" + speed +
                   "\"\nlambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\n";
        };
    const std::string head = "t,n,L1,L2,L3,L4\n";
    const std::string first = "0,8600,0.8,0.8,0.8,0.8\n3,8600,0.8,0.8,0.8,0.8\n";
    const std::string second = "0,8600,0.81,0.8,0.8,0.8\n3,8600,0.81,0.8,0.8,0.8\n";
    folder.write("run.csv", head + first + second);
    CHECK(has(folder.refusal(map("run.csv", "t | s", "n | rpm")), "cut the file there into two"));
    folder.write("run.csv", head + first);
    folder.write("run-2.csv", head + second);
    CHECK(folder.refusal(map("run.csv", "t | s", "n | rpm") +
                         map("run-2.csv", "t | s", "n | rpm")) == "accepted");
    CHECK(has(folder.refusal(map("run.csv", "t", "n | rpm")), "write it behind a bar"));
    folder.write("run.csv", head + "0,8600,nan,0.8,0.8,0.8\n" + first);
    CHECK(folder.refusal(map("run.csv", "t | s", "n | rpm")) != "accepted");
    folder.write("run.csv", head + first);
    CHECK(folder.refusal(map("run.csv", "t | s", "n | rpm")) == "accepted");
}

TEST_CASE("measured file: steady parts of a log are found, averaged and put to their point") {
    const MeasuredFolder folder("log");
    std::string log = "Time,Speed,Before throttle,L1,L2,L3,L4\n";
    // Made up: two seconds of acceleration, four steady ones at 8600 rpm and 250 kPa, then off.
    for (int i = 0; i < 800; ++i) {
        const double t = 0.01 * i;
        const bool steady = t >= 2 && t < 6;
        const double speed = steady ? 8600 : t < 2 ? 6000 + 1300 * t : 8600 - 2000 * (t - 6);
        log += std::to_string(t) + "," + std::to_string(speed) + ",250,";
        log += i % 2 == 0 ? "0.80,0.81,0.82,0.79\n" : "0.81,0.82,0.83,0.80\n";
    }
    folder.write("run.csv", log);
    const std::string map =
        "[[log]]\nfile = \"run.csv\"\ntime = \"Time | s\"\nspeed = \"Speed | rpm\"\npressure = "
        "\"Before throttle | kPa abs\"\nlambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\n";
    const auto m = folder.parse(map);
    REQUIRE(m.engine.size() == 1);
    CHECK(m.engine[0].name == "A4");
    CHECK(*m.engine[0].lambda[2] == near(0.825, 1e-3));
    REQUIRE(m.steady.size() == 1);
    CHECK(m.steady[0].end - m.steady[0].begin >= 3.9);
    CHECK(m.steady[0].lambda_scatter[0] == near(0.005, 0.02));
    const auto wrong = folder.refusal(
        "[[log]]\nfile = \"run.csv\"\ntime = \"Time | s\"\nspeed = \"Sped | rpm\"\nlambda = "
        "[\"L1\", \"L2\", \"L3\", \"L4\"]\n");
    CHECK(has(wrong, "there is no column \"Sped\"; did you mean \"Speed\"?"));
    CHECK(has(folder.refusal("[[log]]\nfile = \"run.csv\"\ntime = \"Time\"\nspeed = \"Speed | "
                             "rpm\"\nlambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\n"),
              "\"Time\" has no unit; write it behind a bar, \"Time | s\""));
}

TEST_CASE("measured file: over a gap in a log nothing is steady, and gauge pressure is suspected") {
    const MeasuredFolder folder("log-gap");
    const std::string map =
        "[[log]]\nfile = \"run.csv\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\npressure = "
        "\"p | kPa abs\"\nlambda = [\"a\", \"b\", \"c\", \"d\"]\n";
    const auto written = [&folder](double hole, const char* pressure) {
        std::string log = "t,n,p,a,b,c,d\n";
        for (int i = 0; i < 30; ++i) {
            log += std::to_string(0.1 * i + (i < 15 ? 0.0 : hole)) + ",8600," + pressure +
                   ",0.80,0.81,0.82,0.79\n";
        }
        folder.write("run.csv", log);
    };
    written(0, "250");
    CHECK(folder.parse(map).engine.size() == 1);
    written(500, "250");  // 1.4 s on either side
    CHECK(has(folder.refusal(map), "no steady part of 2 s in 30 rows"));
    written(0, "148.7");
    const auto said = folder.refusal(map);
    CHECK(has(said, "the log has 148.7 kPa abs, A4 has 250.0 kPa; is the column gauge pressure?"));
    CHECK(!has(said, "no steady part"));
}

TEST_CASE("measured file: logs that run backwards, hold NaN or AFR, or nothing") {
    const MeasuredFolder folder("bad-log");
    const std::string map =
        "[[log]]\nfile = \"run.csv\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\nlambda = [\"L1\", "
        "\"L2\", \"L3\", \"L4\"]\n";
    const std::string head = "t,n,L1,L2,L3,L4\n";
    folder.write("run.csv",
                 head +
                     "0,8600,0.8,0.8,0.8,0.8\n1,8600,0.8,0.8,0.8,0.8\n0.5,8600,0.8,"
                     "0.8,0.8,0.8\n");
    CHECK(has(folder.refusal(map), "line 4: time runs backwards, 0.5 s after 1 s"));
    folder.write("run.csv", head + "0,8600,0.8,nan,0.8,0.8\n");
    CHECK(has(folder.refusal(map), "line 2, column \"L2\" = \"nan\": not a finite number"));
    folder.write("run.csv", head + "0,8600,12.5,12.5,12.5,12.5\n");
    CHECK(has(folder.refusal(map), "line 2, column \"L1\" = 12.5: looks like an air-fuel ratio"));
    folder.write("run.csv", head);
    CHECK(has(folder.refusal(map), "has no rows below its first line"));
    folder.write("run.csv", "");
    CHECK(has(folder.refusal(map), "the file is empty"));
    folder.write("run.csv", head + "0,8600,0.8\n");
    CHECK(has(folder.refusal(map), "line 2 ends before column \"L2\""));
}

TEST_CASE("measured file: a log of a million lines") {
    const MeasuredFolder folder("long-log");
    {
        std::string log = "t,n,L1,L2,L3,L4\n";
        for (int i = 0; i < 1000000; ++i) {
            log += std::to_string(i / 1000) + "." + std::to_string(1000 + i % 1000).substr(1) +
                   (i < 500000 ? ",8600" : ",2000") + ",0.80,0.81,0.82,0.79\n";
        }
        folder.write("run.csv", log);
    }
    const auto m = folder.parse(
        "[[log]]\nfile = \"run.csv\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\nlambda = [\"L1\", "
        "\"L2\", \"L3\", \"L4\"]\n");
    REQUIRE(m.steady.size() == 1);
    CHECK(m.steady[0].rows == 500000);
}

TEST_CASE("measured file: a log of the same point with sensors exchanged is another reading") {
    const MeasuredFolder folder("exchanged-log");
    const auto map = [](const std::string& file, const std::string& more) {
        return "[[log]]\nfile = \"" + file +
               "\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\n"
               "lambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\n" +
               more;
    };
    const std::string head = "t,n,L1,L2,L3,L4\n";
    folder.write("first.csv", head + "0,8600,0.81,0.80,0.79,0.78\n3,8600,0.81,0.80,0.79,0.78\n");
    folder.write("second.csv", head + "0,8600,0.80,0.81,0.79,0.78\n3,8600,0.80,0.81,0.79,0.78\n");
    const auto m =
        folder.parse(map("first.csv", "") + map("second.csv", "sensor_order = [2, 1, 3, 4]\n"));
    REQUIRE(m.engine.size() == 2);
    CHECK(m.engine[0].sensor_of(0) == 0);
    CHECK(m.engine[1].sensor_of(0) == 1);
    CHECK(m.engine[1].name == "A4 (2)");
    CHECK(m.warnings.empty());
    const auto twice = folder.parse(map("first.csv", "") + map("second.csv", ""));
    CHECK(twice.engine.size() == 1);
    REQUIRE_FALSE(twice.warnings.empty());
    CHECK(has(twice.warnings.front(), "a second reading at A4"));
    CHECK(has(folder.refusal(map("first.csv", "sensor_order = [2, 2, 3, 4]\n")),
              "log.1.sensor_order = [2, 2, 3, 4]: sensor 2 stands twice"));
    // Air that was noted by hand and lambda that was logged are one reading.
    const auto both =
        folder.parse("[[engine]]\npoint = \"A4\"\nair_flow = \"350 g/s\"\n" + map("first.csv", ""));
    REQUIRE(both.engine.size() == 1);
    CHECK(both.engine[0].air_flow.has_value());
    CHECK(both.engine[0].lambda_count() == 4);
}

TEST_CASE("measured file: a logger for each bank, and both make one reading of a point") {
    const MeasuredFolder folder("banked-log");
    const Case c = plenair::test::layout("v2-two-banks");
    const auto rpm = std::to_string(c.points[0].speed * 30 / M_PI);
    const auto log = [&](const std::string& lambda) {
        return "t,n,L\n0," + rpm + "," + lambda + "\n3," + rpm + "," + lambda + "\n";
    };
    folder.write("front.csv", log("0.81"));
    folder.write("rear.csv", log("0.84"));
    const auto map = [](const std::string& name, const std::string& more) {
        return "[[log]]\nfile = \"" + name +
               ".csv\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\nlambda = [\"L\"]\n" + more;
    };
    const auto m =
        folder.parse(map("front", "bank = \"front\"\n") + map("rear", "bank = \"rear\"\n"), c);
    REQUIRE(m.engine.size() == 1);
    const auto cylinder = [&](std::size_t bank) {
        return static_cast<std::size_t>(c.intake.banks[bank].cylinders[0]) - 1;
    };
    CHECK(*m.engine[0].lambda[cylinder(0)] == near(0.81, 1e-9));
    CHECK(*m.engine[0].lambda[cylinder(1)] == near(0.84, 1e-9));
    CHECK(has(folder.refusal(map("front", ""), c), "1 column for 2 cylinders"));
    CHECK(has(folder.refusal(map("front", "bank = \"middle\"\n"), c),
              "no such bank in the case; it has front and rear"));
    CHECK(has(folder.refusal(map("front", "bank = \"front\"\ncylinders = [1]\n"), c),
              "bank says it already; keep one of the two"));
    CHECK(has(folder.refusal("[[log]]\nbank = \"front\"\nfile = \"front.csv\"\ntime = \"t | s\"\n"
                             "speed = \"n | rpm\"\nlambda = [\"L\"]\n"),
              "the case has one bank only; remove the line"));
}
