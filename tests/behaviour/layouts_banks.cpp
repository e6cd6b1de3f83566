#include "tests/support/layouts_said.hpp"
#include "tests/support/near.hpp"

#include <nlohmann/json.hpp>

#include <map>

/// Banks in every file: whose each number is, and entries that mean one bank or all.

using namespace plenair;
using namespace plenair::test;
using nlohmann::json;

TEST_CASE("layouts: the CSV of solve says whose every cylinder is") {
    const Case c = test::layout("v8-opposed");
    const auto rows = test::standings(c);
    const ScratchFolder scratch;
    const auto path = scratch.path("r.csv");
    printed({"solve", c.path, "--bands", "off", "--quiet", "--csv", path});
    const auto lines = split(read_text(path), '\n');
    const auto heads = split(lines.at(0), ',');
    const auto column = [&](const std::string& name) {
        const auto at = std::find(heads.begin(), heads.end(), name);
        REQUIRE_MESSAGE(at != heads.end(), name);
        return static_cast<std::size_t>(at - heads.begin());
    };
    std::map<std::string, std::map<std::string, double>> flow;  // of point and bank [g/s]
    std::map<std::string, double> whole;  // of point [g/s]
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const auto cells = split(lines[i], ',');
        const int cylinder = std::stoi(cells.at(column("cylinder_number")));
        const auto row = std::find_if(rows.begin(), rows.end(), [&](const auto& each) {
            return std::find(each.along.begin(), each.along.end(), cylinder) != each.along.end();
        });
        CHECK(cells.at(column("bank_text")) == row->bank);
        CHECK_FALSE(cells.at(column("bank_spread_percent")).empty());
        const std::string& point = cells.at(column("point"));
        flow[point][row->bank] = std::stod(cells.at(column("bank_air_flow_g_s")));
        whole[point] = std::stod(cells.at(column("air_flow_g_s")));
        // Between throttle and slot of this case stand some kPa, not some Pa.
        CHECK(std::stod(cells.at(column("bank_total_loss_kpa"))) > 0.5);
        CHECK(std::stod(cells.at(column("bank_total_loss_kpa"))) < 50);
    }
    REQUIRE(whole.size() == c.points.size());
    for (const auto& [point, banks] : flow) {
        double sum = 0;
        for (const auto& [bank, of_bank] : banks) sum += of_bank;
        CHECK(sum == near(whole.at(point), 1e-4));
    }
}

TEST_CASE("layouts: HDF5 and JSON give back the same banks") {
    const ScratchFolder scratch;
    for (const std::string name : {"v8-opposed", "v6-shared", "eight-numbered-back"}) {
        const std::string path = test::layout_path(name);
        for (const char* kind : {".h5", ".json"}) {
            printed({"solve",
                     path,
                     "--bands",
                     "off",
                     "--quiet",
                     "--set",
                     "model.cells=largest cell 80 mm",
                     "-o",
                     scratch.path(name + kind)});
            printed({"report",
                     scratch.path(name + kind),
                     "--no-live",
                     "--quiet",
                     "--time",
                     "now",
                     "-o",
                     scratch.path(name + kind + ".html")});
        }
        CHECK(read_text(scratch.path(name + ".h5.html")) ==
              read_text(scratch.path(name + ".json.html")));
    }
}

TEST_CASE("layouts: an entry without its bank moves every bank, in --set, --vary and [sweep]") {
    const std::string path = test::layout_path("v8-opposed");
    const auto both = json::parse(printed({"check", path, "--json", "--set", "slot.width=6 mm"}));
    const auto each = json::parse(printed({"check",
                                           path,
                                           "--json",
                                           "--set",
                                           "bank.left.slot.width=6 mm",
                                           "--set",
                                           "bank.2.slot.width=6 mm"}));
    CHECK(both.at("case_digest") == each.at("case_digest"));
    const auto compared = json::parse(
        printed({"compare", path, "--vary", "slot.width=6, 8 mm", "--point", "low", "--json"}));
    CHECK(compared.at("values").at(0).at("case_digest") == both.at("case_digest"));
    const auto ranged =
        json::parse(printed({"compare",
                             path,
                             "--vary",
                             "slot.width={ from = \"6 mm\", to = \"8 mm\", steps = 2 }",
                             "--point",
                             "low",
                             "--json"}));
    CHECK(ranged.at("values").at(0).at("case_digest") == both.at("case_digest"));
}

TEST_CASE("layouts: an entry of no bank says how one and how every one is named, and that works") {
    const std::string path = test::layout_path("v8-opposed");
    const auto wrong = run_plenair({"compare", path, "--vary", "bank.slot.width=6, 8 mm"});
    CHECK(wrong.status == 2);
    CHECK(has(wrong.err,
              "no bank 'slot'; the banks are left, right: write bank.left.slot.width, or "
              "slot.width for every bank"));
    for (const std::string key : {"bank.left.slot.width", "slot.width"}) {
        CHECK(run_plenair({"compare", path, "--vary", key + "=6, 8 mm", "--point", "low"}).status ==
              0);
    }
}

TEST_CASE("layouts: whatever banks are called, the numbers are theirs and the name is told") {
    const ScratchFolder scratch;
    const std::string text = read_text(test::layout_path("v2-two-banks"));
    const auto solved = [&](const std::string& front, const std::string& rear) {
        std::string named = text;
        for (const auto& [from, to] : {std::pair("front", front), std::pair("rear", rear)}) {
            const std::string old = std::string("name = \"") + from + "\"";
            named.replace(named.find(old), old.size(), "name = \"" + to + "\"");
        }
        const auto path = scratch.write("case.toml", test::coarse(named, false));
        const auto page = scratch.path("r.html"), file = scratch.path("r.json");
        printed({"solve", path, "--bands", "off", "--traces", "--quiet", "-o", file});
        printed({"report", file, "--no-live", "--quiet", "-o", page});
        const std::string html = read_text(page);
        const auto start = html.find('>', html.find("id=\"data\"")) + 1;
        const auto data = json::parse(html.substr(start, html.find("</script>", start) - start));
        std::vector<std::string> parts;
        for (const auto& trace : data["results"][0]["points"][0]["traces"]) {
            if (trace["quantity"] == "plenum_pressure") parts.push_back(trace["part"]);
        }
        CHECK(std::count(parts.begin(), parts.end(), front + " plenum") == 3);
        CHECK(std::count(parts.begin(), parts.end(), rear + " plenum") == 3);
        return json::parse(read_text(file));
    };
    const auto plain = solved("front", "rear");
    // Words that chambers have, blanks, dashes, underscores.
    for (const auto& names : {std::pair("plenum side", "pre-chamber"),
                              std::pair("lower left", "lower left 2"),
                              std::pair("A-1", "A_2")}) {
        CAPTURE(names.first);
        const auto other = solved(names.first, names.second);
        for (std::size_t p = 0; p < plain["points"].size(); ++p) {
            const auto &a = plain["points"][p], &b = other["points"][p];
            for (std::size_t i = 0; i < 2; ++i) {
                CHECK(a["cylinders"][i]["bias_percent"] == b["cylinders"][i]["bias_percent"]);
            }
            CHECK(b["banks"][0]["bank"] == names.first);
            CHECK(b["slots"][1]["bank"] == names.second);
            for (std::size_t i = 0; i < 2; ++i) {
                for (const char* loss : {"throttle_loss_pa", "slot_loss_pa", "port_loss_pa"}) {
                    CHECK(a["banks"][i][loss] == b["banks"][i][loss]);
                    CHECK(a["banks"][i][loss].get<double>() > 0);
                }
            }
        }
        // Its own pressure in each plenum, which trims and taps ask for.
        const auto path = scratch.path("case.toml");
        const auto trims = json::parse(printed({"trim", path, "--json", "--bands", "off"}));
        CHECK(trims["points"][0]["plenum_pressure_pa"].get<double>() > 50000);
    }
}

TEST_CASE("layouts: two banks of one name are refused") {
    const ScratchFolder scratch;
    std::string text = read_text(test::layout_path("v8-opposed"));
    text.replace(text.find("name = \"right\""), 14, "name = \"left\" ");
    (void)scratch.write("twins.toml", text);
    const auto outcome = run_plenair({"check", scratch.path("twins.toml")});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err, "bank.left.name = left: two banks of this name; give each its own"));
}

TEST_CASE("layouts: fit says of which bank a size of the slot is, where one bank was gauged") {
    const Case c = test::layout("v2-two-banks");
    const ScratchFolder scratch;
    const auto measured = scratch.write("measured.toml",
                                        "format = 1\n[measured]\ntitle = \"made up\"\n[[gauge]]\n"
                                        "bank = \"front\"\nentry = \"slot.edge_radius\"\nvalue = "
                                        "\"1.9 mm\"\ninstrument = \"radius gauge\"\n[[engine]]\n"
                                        "point = \"low\"\nlambda = [0.87, 0.89]\nsensor = "
                                        "\"runner\"\n");
    const auto fit = json::parse(printed({"fit", c.path, "--measured", measured, "--json"}));
    for (const auto& entry : fit.at("entries")) {
        const bool size = entry.at("unit") == "m";
        const std::string key = entry.at("entry");
        CAPTURE(key);
        CHECK(size == (key == "slot.width" || key == "slot.edge_radius" || key == "slot.land"));
        CHECK(entry.at("whose") == (size ? "bank front; the other moves as much" : ""));
        if (key == "slot.edge_radius") {
            CHECK(entry.at("before").get<double>() == near(1.9e-3, 1e-9));
        }
    }
}
