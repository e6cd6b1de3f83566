#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

// Slot widths of the hill-climb case side by side at its top point. The hand losses beside each
// width are the designer's estimates: steady flow through an ideal nozzle times Cd, no regain, no
// pulsation.

namespace {

using nlohmann::json;

const std::string hill_climb = "cases/shipped/hill-climb-four/case.toml";
const std::vector<std::string> widths{"3 mm", "4 mm", "5 mm", "6 mm", "8 mm", "10 mm"};
const std::vector<double> hand_loss_kpa{17.9, 10.8, 7.4, 5.5, 3.5, 2.5};
const std::string six_widths = "slot.width=3, 4, 5, 6, 8, 10 mm";

json compared(const std::string& vary, const std::vector<std::string>& more = {}) {
    std::vector<std::string> arguments{"compare", hill_climb, "--vary", vary, "--json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const auto outcome = run_plenair(arguments);
    REQUIRE(outcome.status == 0);
    return json::parse(outcome.out);
}

const json& at_top() {
    static const json result = compared(six_widths, {"--point", "A4"});
    return result;
}

double of(const json& curve, std::size_t value, const char* field) {
    return curve.at("values").at(value).at(field).get<double>();
}

}  // namespace

TEST_SUITE("six widths at the top point") {
    TEST_CASE("compare: loss falls with every wider slot, air rises, spread does not fall") {
        const json& curve = at_top().at("points").at(0);
        REQUIRE(curve.at("point") == "A4");
        REQUIRE(curve.at("values").size() == widths.size());
        for (std::size_t v = 0; v < widths.size(); ++v) {
            CAPTURE(widths[v]);
            CHECK(curve.at("values").at(v).at("value") == widths[v]);
            if (v > 0) {
                CHECK(of(curve, v, "slot_loss_pa") < of(curve, v - 1, "slot_loss_pa"));
                CHECK(of(curve, v, "air_flow_kg_s") > of(curve, v - 1, "air_flow_kg_s"));
                CHECK(of(curve, v, "air_lost_percent") < of(curve, v - 1, "air_lost_percent"));
                CHECK(of(curve, v, "spread_percent") >= of(curve, v - 1, "spread_percent"));
            }
        }
    }

    TEST_CASE("compare: pulsation adds to the loss of steady flow, less the narrower the slot") {
        // A loss goes with the square of the flow and is weighted with the flow: a sine of
        // amplitude b on a flow of one multiplies it by the mean of its cube, 1 + 3 b^2/2. The
        // narrow slot smooths its own flow (b below a half), the widest lets no more than a flow
        // pass that stops once a period (b = 1).
        const json& curve = at_top().at("points").at(0);
        double last = 1.0;
        for (std::size_t v = 0; v < widths.size(); ++v) {
            CAPTURE(widths[v]);
            const double factor = of(curve, v, "slot_loss_pa") / 1000.0 / hand_loss_kpa[v];
            CHECK(factor > last);
            CHECK(factor < (v == 0 ? 1.375 : 2.5));
            last = factor;
        }
    }

    TEST_CASE("compare: the knee is the width farthest from the line that joins 3 and 10 mm") {
        const json& curve = at_top().at("points").at(0);
        const std::size_t end = widths.size() - 1;
        const auto scaled = [&](std::size_t v, const char* name, std::size_t zero) {
            return (of(curve, v, name) - of(curve, zero, name)) /
                   std::abs(of(curve, end, name) - of(curve, 0, name));
        };
        // Loss falls and spread rises with the width: the least sum lies farthest from the line.
        const auto sum = [&](std::size_t v) {
            return scaled(v, "slot_loss_pa", end) + scaled(v, "spread_percent", 0);
        };
        std::vector<std::size_t> order{1, 2, 3, 4};
        std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return sum(a) < sum(b);
        });
        CHECK(curve.at("knee") == widths[order[0]]);
        CHECK(curve.at("second") == widths[order[1]]);
        CHECK(has(at_top().at("summary").get<std::string>(), "knee at " + widths[order[0]]));
        // 5 and 6 mm in one order or the other: they lie within 10 % of one distance.
        CHECK(std::max(order[0], order[1]) == 3);
        CHECK(std::min(order[0], order[1]) == 2);
    }

    TEST_CASE("compare: every slot is more even than none") {
        const json& curve = at_top().at("points").at(0);
        const double without = curve.at("no_slot").at("spread_percent").get<double>();
        for (std::size_t v = 0; v < widths.size(); ++v) {
            CHECK(of(curve, v, "spread_percent") < without);
        }
        CHECK_FALSE(curve.contains("slot_verdict"));
    }

    TEST_CASE(
        "compare: in the best set is what has less spread than all cheaper ones, by the band") {
        const json& curve = at_top().at("points").at(0);
        CHECK(curve.at("spread_differs") == true);
        double last = 100;
        for (std::size_t v = widths.size(); v-- > 0;) {  // from the least loss on
            const double spread = of(curve, v, "spread_percent");
            const bool best = last - spread > 0.5;
            last = best ? spread : last;
            CHECK(curve.at("values").at(v).at("best") == best);
        }
    }

    TEST_CASE("compare: a value is what solve says of the case with that entry") {
        const auto outcome =
            run_plenair({"solve", hill_climb, "--set", "slot.width=5 mm", "--json"});
        REQUIRE(outcome.status == 0);
        const json alone = json::parse(outcome.out);
        CHECK(alone.at("case_digest") == at_top().at("values").at(2).at("case_digest"));
        const json& point = alone.at("points").at(3);
        REQUIRE(point.at("name") == "A4");
        const json& curve = at_top().at("points").at(0);
        CHECK(point.at("spread_percent").get<double>() == of(curve, 2, "spread_percent"));
        CHECK(point.at("air_flow_kg_s").get<double>() == of(curve, 2, "air_flow_kg_s"));
    }
}

TEST_SUITE("several points") {
    TEST_CASE("compare: over the points stand the worst spread and the mean of the losses") {
        const json result = compared("slot.width=4, 6, 8 mm", {"--point", "A2", "--point", "A4"});
        const json& all = result.at("over_points");
        const json& a2 = result.at("points").at(0);
        const json& a4 = result.at("points").at(1);
        for (std::size_t v = 0; v < 3; ++v) {
            const double worst = std::max(of(a2, v, "spread_percent"), of(a4, v, "spread_percent"));
            const double loss = 0.5 * (of(a2, v, "slot_loss_pa") + of(a4, v, "slot_loss_pa"));
            CHECK(of(all, v, "spread_percent") == worst);
            CHECK(of(all, v, "slot_loss_pa") == near(loss, 1e-12));
            CHECK(all.at("values").at(v).at("worst_point") == "A2");
        }
    }

    TEST_CASE("compare: at 5500 rpm it says that narrower will not help") {
        const json result = compared("slot.width=4, 6, 8 mm", {"--point", "A2"});
        const auto verdict = result.at("points").at(0).at("verdict").get<std::string>();
        CHECK(has(verdict, "narrower will not help here"));
        CHECK(has(verdict, "the rest is wave action"));
    }

    TEST_CASE("compare: it does not hide a point where the slot makes it no better") {
        const json result = compared("slot.width=4, 6 mm", {"--point", "A3"});
        const json& curve = result.at("points").at(0);
        const double without = curve.at("no_slot").at("spread_percent").get<double>();
        const double more =
            std::max(of(curve, 0, "spread_percent"), of(curve, 1, "spread_percent"));
        const double less =
            std::min(of(curve, 0, "spread_percent"), of(curve, 1, "spread_percent"));
        CHECK(curve.contains("slot_verdict") == (more > without + 0.5 || less >= without - 0.5));
    }

    TEST_CASE("compare: any entry may vary, with units of its own") {
        const json result =
            compared("slot.edge_radius=0.5 mm, 0.2 cm", {"--point", "A4", "--threads", "1"});
        CHECK(result.at("key") == "slot.edge_radius");
        const json& curve = result.at("points").at(0);
        CHECK(of(curve, 0, "slot_loss_pa") > of(curve, 1, "slot_loss_pa"));
        CHECK(has(curve.at("verdict").get<std::string>(), "more slot loss"));
    }

    TEST_CASE("compare: threads do not change a byte") {
        std::vector<std::string> arguments{
            "compare", hill_climb, "--vary", "slot.width=4, 6 mm", "--json", "--threads", "1"};
        const auto one = run_plenair(arguments);
        arguments.back() = "4";
        const auto four = run_plenair(arguments);
        CHECK(one.status == 0);
        CHECK(one.out == four.out);
    }
}

TEST_SUITE("values of a sweep") {
    TEST_CASE("compare: a range gives the same as its values") {
        const json range =
            compared("slot.width={ from = \"4 mm\", to = \"8 mm\", steps = 3 }", {"--point", "A4"});
        const json list = compared("slot.width=4, 6, 8 mm", {"--point", "A4"});
        CHECK(range == list);
    }

    TEST_CASE("compare: without --vary it takes the one entry of [sweep]") {
        const ScratchFolder scratch;
        const auto text = read_text(hill_climb);
        const auto one =
            scratch.write("one.toml", text + "\n[sweep]\n\"slot.width\" = \"4, 6 mm\"\n");
        const auto outcome = run_plenair({"compare", one, "--point", "A4", "--json"});
        CHECK(outcome.status == 0);
        CHECK(json::parse(outcome.out).at("values").size() == 2);
        const auto two = scratch.write(
            "two.toml",
            text + "\n[sweep]\n\"slot.width\" = \"4, 6 mm\"\n\"slot.land\" = \"6, 8 mm\"\n");
        const auto refused = run_plenair({"compare", two});
        CHECK(refused.status == 2);
        CHECK(has(refused.err, "[sweep] names 2 entries"));
    }
}

TEST_SUITE("files and faults") {
    TEST_CASE(
        "compare: CSV has a row for every value and point, without slot and over the points") {
        const ScratchFolder scratch;
        const auto path = scratch.path("widths.csv");
        const auto outcome = run_plenair({"compare",
                                          hill_climb,
                                          "--vary",
                                          "slot.width=4, 6 mm",
                                          "--point",
                                          "A2",
                                          "--point",
                                          "A4",
                                          "-o",
                                          path,
                                          "--quiet"});
        CHECK(outcome.status == 0);
        CHECK(outcome.out.empty());
        const auto text = read_text(path);
        CHECK(std::count(text.begin(), text.end(), '\n') == 1 + 3 * 3);
        CHECK(text.starts_with("key,value,slot_0_1,point,"));
    }

    TEST_CASE("compare: the table has every width, the column without slot, cautions and limits") {
        const auto outcome = run_plenair(
            {"compare", hill_climb, "--vary", "slot.width=4, 6, 8 mm", "--point", "A4"});
        CHECK(outcome.status == 0);
        for (const std::string part : {"slot.width at A4",
                                       "4 mm",
                                       "6 mm",
                                       "8 mm",
                                       "no slot",
                                       "air lost against no slot",
                                       "no value differs: the spreads are the same",
                                       "Knee: ",
                                       "Model limits",
                                       "Cautions"}) {
            CAPTURE(part);
            CHECK(has(outcome.out, part));
        }
    }

    TEST_CASE("compare: every width that does not fit is refused at once, and nothing is written") {
        const ScratchFolder scratch;
        const auto outcome = run_plenair({"compare",
                                          hill_climb,
                                          "--vary",
                                          "slot.width=0, 6, 60 mm",
                                          "-o",
                                          scratch.path("widths.csv")});
        CHECK(outcome.status == 2);
        CHECK(outcome.out.empty());
        CHECK(has(outcome.err, "--vary: slot.width = 0 mm: must be above 0 mm"));
        CHECK(has(outcome.err, "slot width 60 mm exceeds wall height 52 mm"));
        CHECK(scratch.count() == 0);
    }

    TEST_CASE("compare: of one point the table names neither worst nor mean, of two it does") {
        std::vector<std::string> arguments{
            "compare", hill_climb, "--vary", "slot.width=4, 6 mm", "--point", "A4"};
        const auto one = run_plenair(arguments);
        REQUIRE(one.status == 0);
        const auto head = one.out.substr(0, one.out.find("Knee:"));
        CHECK_FALSE(has(head, "worst"));
        CHECK_FALSE(has(head, "mean"));
        arguments.insert(arguments.end(), {"--point", "A2"});
        const auto two = run_plenair(arguments);
        CHECK(has(two.out, "worst"));
        CHECK(has(two.out, "mean slot"));
    }

    TEST_CASE("compare: wrong use is refused with what to write") {
        struct Wrong {
            std::string vary, part;
        };
        const std::vector<Wrong> wrong{{"slot.width", "no key and values"},
                                       {"=3, 4 mm", "no key and values"},
                                       {"slot.width=6 mm", "one value alone"},
                                       {"slot.width=3,, 4 mm", "a value is empty"},
                                       {"slot.width=3, 4, 3 mm", "3 mm stands twice"},
                                       {"slot.widht=3, 4 mm", "did you mean slot.width?"},
                                       {"sweep.seed=1, 2", "is not an entry of the case"},
                                       {"slot.width=3, 4", "no unit"}};
        for (const auto& fault : wrong) {
            CAPTURE(fault.vary);
            const auto outcome = run_plenair({"compare", hill_climb, "--vary", fault.vary});
            CHECK(outcome.status == 2);
            CHECK(has(outcome.err, fault.part));
        }
        const auto point =
            run_plenair({"compare", hill_climb, "--vary", "slot.width=3, 4 mm", "--point", "A9"});
        CHECK(point.status == 2);
        CHECK(has(point.err, "no point 'A9'; the points are A1, A2, A3, A4, A5"));
        const auto twice = run_plenair(
            {"compare", hill_climb, "--vary", "slot.width=3, 4 mm", "--set", "slot.width=9 mm"});
        CHECK(twice.status == 2);
        CHECK(has(twice.err, "--set: slot.width=9 mm: --vary gives slot.width its values"));
        const auto ending =
            run_plenair({"compare", hill_climb, "--vary", "slot.width=3, 4 mm", "-o", "widths.h5"});
        CHECK(ending.status == 2);
        CHECK(has(ending.err, "compare writes .json, .csv and, of values, .html"));
    }
}
