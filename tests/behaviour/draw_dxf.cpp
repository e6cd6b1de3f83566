#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <string>
#include <vector>

#include "cases/file/read.hpp"
#include "cases/file/slot_shop.hpp"
#include "cases/report/drawing/drawing.hpp"
#include "cases/report/dxf/dxf.hpp"
#include "tests/support/near.hpp"
#include "tests/support/python.hpp"
#include "tests/support/run_process.hpp"

namespace {

using nlohmann::json;

constexpr double exact = 1e-6;  // mm

const std::string shipped_case = "cases/shipped/hill-climb-four/case.toml";

/// What a general reader finds in the drawing of a case.
json read_back(const plenair::Case& c) {
    const ScratchFolder scratch;
    const auto drawing = plenair::intake_drawing(
        c.intake, c.title, c.units, plenair::slot_shops(c), plenair::DrawnFor::file);
    const auto path = scratch.write("intake.dxf", plenair::dxf_text(drawing));
    const auto outcome = run_process(system_python, {"tests/behaviour/draw/read_dxf.py", path});
    INFO(outcome.err);
    REQUIRE(outcome.status == 0);
    return json::parse(outcome.out);
}

plenair::Case parse(const std::string& text) {
    return plenair::parse_case(text, "case.toml", {});
}

bool measures(const json& file, double value) {
    for (const char* kind : {"dimensions", "running"}) {
        for (const auto& each : file[kind]) {
            if (each["value"].get<double>() == near(value, 0, exact)) {
                return true;
            }
        }
    }
    return false;
}

void check_sound(const json& file) {
    CHECK(file["version"] == "AC1015");
    CHECK(file["units"] == 4);  // millimetres
    CHECK(file["errors"].empty());
    CHECK(file["fixes"].empty());
    for (const auto& each : file["dimensions"]) {
        CHECK(each["value"].get<double>() == near(each["stated"].get<double>(), 0, exact));
        CHECK(each["lines"].get<int>() > 0);
        CHECK((each["kind"].get<int>() & 7) != 6);  // ordinates: many viewers leave them out
    }
    CHECK(file["running"].size() > 1);
    for (const auto& each : file["running"]) {
        CHECK(each["value"].get<double>() ==
              near(std::stod(each["text"].get<std::string>()), 0, 0.000501));
    }
}

/// Outline of the slot: the closed polylines on its layer, as width by height of their boxes.
std::vector<std::pair<double, double>> boxes(const json& file, const std::string& layer) {
    std::vector<std::pair<double, double>> found;
    for (const auto& outline : file["outlines"]) {
        if (outline["layer"] != layer || !outline["closed"].get<bool>()) {
            continue;
        }
        double left = 1e9;
        double right = -1e9;
        double bottom = 1e9;
        double top = -1e9;
        for (const auto& point : outline["points"]) {
            left = std::min(left, point[0].get<double>());
            right = std::max(right, point[0].get<double>());
            bottom = std::min(bottom, point[1].get<double>());
            top = std::max(top, point[1].get<double>());
        }
        found.emplace_back(right - left, top - bottom);
    }
    return found;
}

bool has_box(const json& file, const std::string& layer, double width, double height) {
    const auto all = boxes(file, layer);
    return std::any_of(all.begin(), all.end(), [&](const auto& box) {
        return box.first == near(width, 0, exact) && box.second == near(height, 0, exact);
    });
}

}  // namespace

TEST_SUITE("round trip") {
    TEST_CASE("draw: a general reader gets every dimension of the shipped four to 1e-6 mm") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(plenair::read_case(shipped_case, {}));
        check_sound(file);
        // Slot 388 x 6 from x 6, land 8, edges 2 and 0.2; chambers 400; throttle 68 with shaft 10;
        // runner centres, bores, bell and lengths.
        for (const double value : {388.0,
                                   6.0,
                                   394.0,
                                   8.0,
                                   2.0,
                                   0.2,
                                   400.0,
                                   68.0,
                                   10.0,
                                   54.5,
                                   151.5,
                                   248.5,
                                   345.5,
                                   46.0,
                                   43.0,
                                   41.0,
                                   168.0,
                                   260.0}) {
            CAPTURE(value);
            CHECK(measures(file, value));
        }
        CHECK(has_box(file, "SLOT", 388, 6));
        const auto circle = std::find_if(file["circles"].begin(),
                                         file["circles"].end(),
                                         [](const json& c) { return c["r"].get<double>() > 20; });
        REQUIRE(circle != file["circles"].end());
        CHECK((*circle)["r"].get<double>() == near(34, 0, exact));
        CHECK((*circle)["layer"] == "THROTTLE");
        const int bells = static_cast<int>(
            std::count_if(file["arcs"].begin(), file["arcs"].end(), [](const json& arc) {
                return arc["r"].get<double>() == near(11, 0, exact);
            }));
        CHECK(bells == 8);
    }

    TEST_CASE("draw: a length that is no round number of millimetres comes back to 1e-6 mm") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(plenair::read_case(shipped_case, {"slot.width=0.2345678 in"}));
        check_sound(file);
        CHECK(measures(file, 0.2345678 * 25.4));
        CHECK(has_box(file, "SLOT", 388, 0.2345678 * 25.4));
    }

    TEST_CASE("draw: stations of a slot that widens stand where the case has them") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(plenair::read_case(
            shipped_case,
            {"slot.width={ x = \"0, 100, 388 mm\", value = \"5.6, 6.0, 6.4 mm\" }",
             "slot.ends=square"}));  // rounded, the ends are nowhere as wide as their stations
        check_sound(file);
        for (const double value : {5.6, 6.0, 6.4, 6.0, 106.0, 394.0}) {
            CAPTURE(value);
            CHECK(measures(file, value));
        }
        CHECK(has_box(file, "SLOT", 388, 6.4));
    }
}

TEST_SUITE("for the shop") {
    TEST_CASE(
        "draw: tolerances, datums, stations and titled sections at 1:1 and 5:1 are in the file") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(plenair::read_case(shipped_case, {}));
        const auto texts = file["texts"].get<std::vector<std::string>>();
        const auto said = [&texts](const std::string& text) {
            return std::find(texts.begin(), texts.end(), text) != texts.end();
        };
        for (const char* text :
             {"A", "B", "C", "1", "5", "9", "Slot section, 1:1", "Slot section, 5:1"}) {
            CAPTURE(text);
            CHECK(said(text));
        }
        CHECK(std::any_of(texts.begin(), texts.end(), [](const std::string& each) {
            return each.starts_with("Stations from B: 1 at 12, 2 at 59");
        }));
        // The enlarged section says the sizes of the part, in text that stands by itself.
        for (const char* text : {"6 \u00b10.05", "8 \u00b10.1", "R 2 \u00b10.2", "R 0.2 max"}) {
            CAPTURE(text);
            CHECK(said(text));
        }
        CHECK(std::any_of(file["arcs"].begin(), file["arcs"].end(), [](const json& arc) {
            return arc["r"].get<double>() == near(5 * 2, 0, exact);
        }));
        const auto limited = [&file](double value, const std::string& text) {
            const auto& all = file["dimensions"];
            return std::any_of(all.begin(), all.end(), [&](const json& each) {
                return each["value"].get<double>() == near(value, 0, exact) && each["text"] == text;
            });
        };
        CHECK(limited(6, "<> %%p0.05"));
        CHECK(limited(388, "<> %%p0.2"));
        CHECK(limited(8, "<> %%p0.1"));
        CHECK(limited(2, "<> %%p0.2"));
        CHECK(limited(0.2, "<> max"));
        CHECK(limited(26, "<> %%p0.2"));  // from the side face to the centre line
    }

    TEST_CASE("draw: every text can be read in a viewer that knows no escapes") {
        for (const std::string units : {"mm", "inch"}) {
            const auto c = plenair::read_case(shipped_case, {"case.units=" + units});
            const auto text = plenair::dxf_text(plenair::intake_drawing(
                c.intake, "Section 40 mm\u00b2, 20 \u00b0C, 100 %", c.units, {}));
            CHECK(text.find("\\U+") == std::string::npos);
            CHECK(text.find("Section 40 mm2, 20 %%dC, 100 %\n") != std::string::npos);
        }
    }

    TEST_CASE("draw: ends are as the shop leaves them, and the length is over all") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto bulges = [](const std::vector<std::string>& sets) {
            const auto file = read_back(plenair::read_case(shipped_case, sets));
            check_sound(file);
            CHECK(has_box(file, "SLOT", 388, 6));
            std::vector<double> found;
            for (const auto& outline : file["outlines"]) {
                if (outline["layer"] != "SLOT") continue;
                for (const auto& bulge : outline["bulges"]) {
                    if (bulge.get<double>() != 0) found.push_back(bulge.get<double>());
                }
            }
            return found;
        };
        CHECK(bulges({"slot.ends=square"}).empty());
        for (const auto& sets :
             {std::vector<std::string>{}, std::vector<std::string>{"slot.cutter=3 mm"}}) {
            const auto found = bulges(sets);
            CHECK(found.size() == 4);  // a quarter of a circle each: tan(90/4 degrees)
            for (const double bulge : found) {
                CHECK(std::abs(bulge) == near(std::tan(std::numbers::pi / 8), 1e-9));
            }
        }
    }
}

TEST_SUITE("parts") {
    TEST_CASE("draw: pieces, holes, several throttles and several banks are all drawn") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(parse(R"(format = 1
[case]
title = "All parts"
[source]
pressure = "101 kPa abs"
temperature = "293 K"
[[bank]]
name = "left"
cylinders = [1, 2]
[[bank.throttle]]
bore = "40 mm"
shaft = "6 mm"
position = "side"
x = "60 mm"
[[bank.throttle]]
bore = "42 mm"
shaft = "7 mm"
position = "far"
[bank.pre_chamber]
length = "300 mm"
area = "2500 mm2"
[bank.slot]
land = "5 mm"
edge_radius = "1 mm"
pieces = [{ x = "10 mm", length = "120 mm", width = "4.25 mm" }, { x = "150 mm", length = "130 mm", width = "4.5 mm" }]
[bank.plenum]
length = "310 mm"
area = "3000 mm2"
[bank.runner]
x = "75, 225 mm"
length = "150 mm"
diameter = "33, 34 mm"
[[bank]]
name = "right"
cylinders = [3, 4]
[bank.pre_chamber]
length = "280 mm"
area = "2000 mm2"
feed = "open"
[bank.slot]
land = "5 mm"
edge_radius = "1 mm"
holes = { x = "40, 120, 200 mm", diameter = "18.5 mm" }
[bank.plenum]
length = "280 mm"
area = "3000 mm2"
[bank.runner]
x = "70, 210 mm"
length = "150 mm"
diameter = "33 mm"
)"));
        check_sound(file);
        for (const double value : {60.0,
                                   42.0,
                                   120.0,
                                   130.0,
                                   4.25,
                                   4.5,
                                   150.0,
                                   280.0,
                                   18.5,
                                   40.0,
                                   200.0,
                                   310.0,
                                   75.0,
                                   225.0}) {
            CAPTURE(value);
            CHECK(measures(file, value));
        }
        CHECK(has_box(file, "SLOT", 120, 4.25));
        CHECK(has_box(file, "SLOT", 130, 4.5));
        int holes = 0;
        int bores = 0;
        for (const auto& circle : file["circles"]) {
            holes += circle["layer"] == "SLOT" && circle["r"].get<double>() == near(9.25, 0, exact);
            bores +=
                circle["layer"] == "THROTTLE" && (circle["r"].get<double>() == near(20, 0, exact) ||
                                                  circle["r"].get<double>() == near(21, 0, exact));
        }
        CHECK(holes == 3);
        CHECK(bores == 3);  // each from the front, and the side feed in the section
    }

    TEST_CASE("draw: a log plenum without slot has its length and runners") {
        if (!has_python_module("ezdxf")) {
            return;
        }
        const auto file = read_back(plenair::read_case("cases/shipped/marine-six/log.toml", {}));
        check_sound(file);
        for (const double value : {690.0, 65.0, 177.0, 289.0, 401.0, 513.0, 625.0, 66.0}) {
            CAPTURE(value);
            CHECK(measures(file, value));
        }
        CHECK(boxes(file, "SLOT").empty());
    }
}

TEST_SUITE("hostile text") {
    TEST_CASE("draw: a title cannot break out of its text, in any format") {
        auto c = plenair::read_case(shipped_case, {});
        c.title = "a\n  0\nEOF\n<script>alert(\"1\")</script> %%c ^J \\U+0041 \xC3\xA9 \xFF";
        const auto text = plenair::dxf_text(plenair::intake_drawing(c.intake, c.title));
        CHECK(text.find("EOF\n") == text.size() - 4);
        CHECK(std::all_of(text.begin(), text.end(), [](char sign) {
            return sign == '\n' || (sign >= ' ' && sign <= '~');
        }));
        CHECK(text.find("%%037%%037c ^ J \\U+005CU+0041 \\U+00E9 \\U+FFFD\n") != std::string::npos);
        plenair::DrawingOptions options;
        options.title = c.title;
        const auto svg = plenair::drawing_svg(c.intake, options);
        CHECK(svg.find("<script") == std::string::npos);
        CHECK(svg.find("&lt;script&gt;alert(&quot;1&quot;)") != std::string::npos);
        if (has_python_module("ezdxf")) {
            const auto file = read_back(c);
            check_sound(file);
            const auto texts = file["texts"].get<std::vector<std::string>>();
            CHECK(std::any_of(texts.begin(), texts.end(), [](const std::string& each) {
                return each.find("<script>alert(\"1\")</script> ") != std::string::npos;
            }));
        }
    }
}
