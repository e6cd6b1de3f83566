#include "geometry/places.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/random_engine.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <regex>
#include <set>

/// Every sentence that names an end, a bank or a cylinder is read in every output of every verb and
/// held against the layout, which the test works out for itself.

using namespace plenair;
using nlohmann::json;

namespace {

/// All that one case says.
struct Said {
    std::string where;  ///< "five-side: solve"
    std::string text;
};

std::vector<int> numbers_in(const std::string& text) {
    std::vector<int> numbers;
    const std::regex digits("[0-9]+");
    for (std::sregex_iterator at(text.begin(), text.end(), digits), end; at != end; ++at) {
        numbers.push_back(std::stoi(at->str()));
    }
    return numbers;
}

/// Text of a page as a reader sees it: no scripts, no tags, entities resolved where they matter.
std::string visible(std::string page) {
    page = std::regex_replace(page, std::regex("<br>"), " ");
    std::string text;
    for (std::size_t i = 0; i < page.size(); ++i) {
        if (page.compare(i, 8, "<script>") == 0 || page.compare(i, 8, "<script ") == 0) {
            i = page.find("</script>", i);
        } else if (page.compare(i, 7, "<style>") == 0) {
            i = page.find("</style>", i);
        }
        if (page[i] == '<') {
            i = page.find('>', i);
            text += ' ';
        } else {
            text += page[i];
        }
    }
    return text;
}

std::string printed(const std::vector<std::string>& arguments) {
    const auto outcome = run_plenair(arguments);
    CAPTURE(arguments.front());
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return outcome.out;
}

/// Texts of a DXF file: the lines below group code 1.
std::string texts_of(const std::string& dxf) {
    std::string texts;
    const auto lines = split(dxf, '\n');
    for (std::size_t i = 0; i + 1 < lines.size(); i += 2) {
        if (lines[i] == "  1") texts += lines[i + 1] + "\n";
    }
    return texts;
}

/// What is said does not depend on the cells: coarse ones cost a fifth.
std::string coarse(const std::string& text) {
    return std::regex_replace(text,
                              std::regex("(\n\\[\\[point\\]\\])"),
                              "\n[model]\ncells = \"largest cell 80 mm\"\n$1",
                              std::regex_constants::format_first_only);
}

/// Layouts that the dearer verbs are run with: one bank and two, three cylinders and two.
bool small(const std::string& name) {
    return name == "three-far" || name == "v2-two-banks";
}

/// Runs every verb that a case of an engine can be given, in every format that it has.
std::vector<Said> all_said(const std::string& name, bool slot) {
    const ScratchFolder scratch;
    const std::string path = scratch.write("case.toml", coarse(read_text(test::layout_path(name))));
    std::vector<Said> said;
    const auto add = [&](const std::string& what, std::string text) {
        said.push_back({name + ": " + what, std::move(text)});
    };
    // One run gives what is printed and the JSON.
    const auto both = [&](const std::string& verb, std::vector<std::string> arguments) {
        const std::string file = scratch.path(verb + ".json");
        arguments.insert(arguments.begin(), {verb, path});
        arguments.insert(arguments.end(), {"-o", file});
        add(verb, printed(arguments));
        add(verb + " --json", read_text(file));
    };
    add("check", printed({"check", path}));
    add("check --json", printed({"check", path, "--json"}));
    for (const std::string verb : {"solve", "bench", "trim"}) both(verb, {"--bands", "off"});
    both("compare",
         {"--vary", slot ? "slot.land=7, 9 mm" : "runner.bell_radius=7, 9 mm", "--point", "low"});
    printed({"draw", path, "--quiet", "-o", scratch.path("d.svg")});
    add("draw", visible(read_text(scratch.path("d.svg"))));
    printed({"draw", path, "--quiet", "-o", scratch.path("d.dxf")});
    add("dxf", texts_of(read_text(scratch.path("d.dxf"))));
    printed({"fit", path, "--blank", scratch.path("blank.toml")});
    add("blank", read_text(scratch.path("blank.toml")));
    (void)scratch.write(
        "sweep.toml",
        read_text(path) +
            (slot ? "\n[sweep]\n\"slot.land\" = " : "\n[sweep]\n\"runner.bell_radius\" = ") +
            "\"7, 9 mm\"\n");
    printed({"sweep",
             scratch.path("sweep.toml"),
             "--folder",
             scratch.path("blocks"),
             "-o",
             scratch.path("s.h5"),
             "--csv",
             scratch.path("s.csv"),
             "--quiet"});
    add("sweep csv", read_text(scratch.path("s.csv")));
    printed({"report", scratch.path("s.h5"), "--quiet", "-o", scratch.path("o.html")});
    add("sweep page", visible(read_text(scratch.path("o.html"))));
    if (small(name)) {
        both("causes", {"--point", "low"});
    }
    if (slot) {
        printed({"draw", path, "--quiet", "--sheet", "-o", scratch.path("s.html")});
        add("sheet", visible(read_text(scratch.path("s.html"))));
    }
    printed({"report",
             scratch.path("solve.json"),
             "--no-live",
             "--quiet",
             "-o",
             scratch.path("r.html")});
    add("report", visible(read_text(scratch.path("r.html"))));
    return said;
}

/// The group of every match of a pattern.
std::vector<std::smatch> matches(const std::string& text, const std::string& pattern) {
    const std::regex expression(pattern);
    std::vector<std::smatch> found;
    for (std::sregex_iterator at(text.begin(), text.end(), expression), end; at != end; ++at) {
        found.push_back(*at);
    }
    return found;
}

bool any_row(const std::vector<test::Standing>& rows,
             const std::vector<int>& numbers,
             std::vector<int> test::Standing::*member) {
    return std::any_of(
        rows.begin(), rows.end(), [&](const auto& row) { return row.*member == numbers; });
}

/// Every sentence of one output that names an end, a bank or a cylinder.
void read(const Said& said, const Case& c) {
    const auto rows = test::standings(c);
    const std::string& text = said.text;
    CAPTURE(said.where);
    for (const char* assumed : {"throttle end",
                                "throttle-end",
                                "near the throttle",
                                "last minus first",
                                "last less first",
                                "beside cylinder 1 at the throttle"}) {
        CHECK_FALSE_MESSAGE(has(text, assumed), assumed);
    }
    const bool one_end =
        std::any_of(c.intake.banks.begin(), c.intake.banks.end(), [](const auto& bank) {
            std::size_t start = 0, far = 0, side = 0;
            for (const auto& throttle : bank.throttles) {
                start += throttle.position == geometry::FeedPosition::start ? 1 : 0;
                far += throttle.position == geometry::FeedPosition::end ? 1 : 0;
                side += throttle.position == geometry::FeedPosition::side ? 1 : 0;
            }
            return side == 0 && (start == 0) != (far == 0);
        });
    for (const char* only_there : {"the fed end", "the closed end", "inlet_over_mean"}) {
        CHECK_MESSAGE((one_end || !has(text, only_there)), only_there);
    }
    // Ends of rows.
    const std::string list = "cylinders? ([0-9]+(?:(?:, | and )[0-9]+)*)";
    for (const auto& m : matches(text, list + " at the far end minus " + list + " at x = 0")) {
        CAPTURE(m.str());
        const auto last = numbers_in(m[1]), first = numbers_in(m[2]);
        CHECK(std::any_of(rows.begin(), rows.end(), [&](const auto& row) {
            return row.first == first && row.last == last;
        }));
    }
    for (const auto& m : matches(text, "beside " + list)) {
        CAPTURE(m.str());
        CHECK(any_row(rows, numbers_in(m[1]), &test::Standing::first));
    }
    for (const auto& m : matches(text, "[Bb]ank ([a-z]+): cylinders? ([0-9, and]*[0-9])")) {
        CAPTURE(m.str());
        CHECK(std::any_of(rows.begin(), rows.end(), [&](const auto& row) {
            return row.bank == m[1].str() && row.along == numbers_in(m[2]);
        }));
    }
    // Feeds.
    for (const auto& m :
         matches(text,
                 "(?:feeds the|into the|, throttle 2 the) (pre-chamber|plenum) "
                 "(at x = 0|at the far end|through the side wall at x ([0-9.]+))")) {
        CAPTURE(m.str());
        CHECK(std::any_of(c.intake.banks.begin(), c.intake.banks.end(), [&](const auto& bank) {
            return std::any_of(
                bank.throttles.begin(), bank.throttles.end(), [&](const auto& throttle) {
                    const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber &&
                                     bank.pre_chamber.has_value();
                    const std::string place = m[2];
                    return pre == (m[1] == "pre-chamber") &&
                           (throttle.position == geometry::FeedPosition::start ? place == "at x = 0"
                            : throttle.position == geometry::FeedPosition::end
                                ? place == "at the far end"
                                : has(place, "side wall"));
                });
        }));
    }
    // Numbers of cylinders.
    const int count = c.engine.cylinder_count();
    for (const auto& m : matches(text,
                                 "(?:[Cc]ylinders?|cyl\\.|Cyl\\.|[Rr]unners?) ([0-9]+(?:(?:, | and "
                                 ")[0-9]+)*)(?![.0-9])")) {
        CAPTURE(m.str());
        for (const int number : numbers_in(m[1])) CHECK((number >= 1 && number <= count));
    }
    for (const auto& m : matches(text, "Runners ([0-9]+(?:(?:, | and )[0-9]+)*): ")) {
        CAPTURE(m.str());
        const auto numbers = numbers_in(m[1]);
        CHECK(std::any_of(rows.begin(), rows.end(), [&](const auto& row) {
            return std::search(
                       row.along.begin(), row.along.end(), numbers.begin(), numbers.end()) !=
                   row.along.end();
        }));
    }
    // Banks.
    if (rows.size() > 1) {
        for (const auto& m : matches(text, "(?:([A-Za-z]+) )?\\b[Bb]ank ([a-z]+)\\b")) {
            static const std::set<std::string> general{
                "a", "A", "the", "its", "every", "each", "no"};
            CAPTURE(m.str());
            CHECK((general.contains(m[1].str()) ||
                   std::any_of(rows.begin(), rows.end(), [&](const auto& row) {
                       return row.bank == m[2].str();
                   })));
        }
    } else if (!has(said.where, "check")) {
        const bool in_case =
            has(said.where, "json") || has(said.where, "report") || has(said.where, "sweep");
        CHECK_MESSAGE((in_case || matches(text, "\\b[Bb]anks?\\b").empty()), text);
    }
}

const Said& said_by(const std::vector<Said>& all, const std::string& verb) {
    return *std::find_if(all.begin(), all.end(), [&](const auto& said) {
        return said.where.ends_with(": " + verb);
    });
}

/// What must be said, not only what must not.
void expect(const std::vector<Said>& all, const Case& c) {
    const auto rows = test::standings(c);
    const std::string solve = said_by(all, "solve").text;
    const std::string report = said_by(all, "report").text;
    for (const auto& row : rows) {
        CAPTURE(row.bank);
        if (row.first.empty()) continue;
        const std::string ends = geometry::cylinder_words(row.last) + " at the far end minus " +
                                 geometry::cylinder_words(row.first) + " at x = 0";
        CHECK(has(std::regex_replace(solve, std::regex("\\s+"), " "), ends));
        CHECK(has(report, ends));
    }
    for (const auto& row : rows) {
        if (rows.size() == 1) continue;
        CHECK(has(solve, row.bank));
        CHECK(has(said_by(all, "check").text, ", bank " + row.bank));
        CHECK(has(said_by(all, "bench").text, row.bank + ": all open"));
        CHECK(has(said_by(all, "trim").text, row.bank + " has "));
        CHECK(has(said_by(all, "draw").text, "Bank " + row.bank + ": "));
    }
    const bool slot = c.intake.banks.front().slot.has_value() && c.engine.cylinder_count() > 1;
    CHECK(has(solve, "The slot ") == slot);
}

double percent_of(const json& j, const char* name) {
    return j.at(name).get<double>();
}

/// Banks in the JSON of solve: who, how much, how even.
void check_banks(const json& point, const std::vector<test::Standing>& rows) {
    CAPTURE(point.at("name").get<std::string>());
    REQUIRE(point.at("banks").size() == rows.size());
    double flow = 0, share = 0;
    for (std::size_t b = 0; b < rows.size(); ++b) {
        const json& bank = point.at("banks").at(b);
        CHECK(bank.at("bank") == rows[b].bank);
        CHECK(bank.at("cylinders_along_x") == json(rows[b].along));
        CHECK(bank.at("cylinders_at_start") == json(rows[b].first));
        CHECK(bank.at("cylinders_at_far_end") == json(rows[b].last));
        double low = HUGE_VAL, high = -HUGE_VAL, air = 0, all = 0;
        for (const auto& c : point.at("cylinders")) {
            all += percent_of(c, "air_trapped_kg");
            const auto& along = rows[b].along;
            if (std::find(along.begin(), along.end(), c.at("cylinder").get<int>()) == along.end()) {
                continue;
            }
            if (rows.size() > 1) CHECK(c.at("bank") == rows[b].bank);
            air += percent_of(c, "air_trapped_kg");
        }
        const double mean = air / static_cast<double>(rows[b].along.size());
        for (const auto& c : point.at("cylinders")) {
            const auto& along = rows[b].along;
            if (std::find(along.begin(), along.end(), c.at("cylinder").get<int>()) == along.end()) {
                continue;
            }
            const double bias = 100 * (percent_of(c, "air_trapped_kg") / mean - 1);
            CHECK(percent_of(c, "bank_bias_percent") == near(bias, 0, 1e-8));
            low = std::min(low, bias);
            high = std::max(high, bias);
        }
        CHECK(percent_of(bank, "spread_percent") == near(high - low, 0, 1e-8));
        CHECK(percent_of(bank, "share") == near(air / all, 1e-9));
        flow += percent_of(bank, "air_flow_kg_s");
        share += percent_of(bank, "share");
    }
    CHECK(share == near(1, 1e-9));
    CHECK(flow == near(percent_of(point, "air_flow_kg_s"), 1e-4));
}

void check_bench(const json& bench, const Case& c, const std::vector<test::Standing>& rows) {
    for (const auto& set_up : bench.at("set_ups")) {
        const std::string bank = set_up.at("bank");
        CAPTURE(set_up.at("name").get<std::string>());
        REQUIRE(set_up.at("converged") == true);
        const auto row = std::find_if(
            rows.begin(), rows.end(), [&](const auto& each) { return each.bank == bank; });
        REQUIRE(row != rows.end());
        CHECK(set_up.at("name").get<std::string>().starts_with(bank.empty() ? "" : bank + ": "));
        if (!set_up.at("flow_per_runner_kg_s").empty()) {
            const auto& listed =
                c.intake.banks[static_cast<std::size_t>(row - rows.begin())].cylinders;
            CHECK(set_up.at("runners") == json(listed));
        }
    }
}

}  // namespace

TEST_CASE(
    "layouts: what is said of ends, banks and cylinders is so, in every output of every verb") {
    for (const auto& name : test::layouts()) {
        CAPTURE(name);
        const Case c = test::layout(name);
        const auto all = all_said(name, c.intake.banks.front().slot.has_value());
        for (const auto& said : all) read(said, c);
        expect(all, c);
        const auto rows = test::standings(c);
        for (const auto& point : json::parse(said_by(all, "solve --json").text).at("points")) {
            check_banks(point, rows);
            CHECK(point.at("slots").size() == (c.intake.banks.front().slot ? rows.size() : 0));
        }
        check_bench(json::parse(said_by(all, "bench --json").text), c, rows);
    }
}

TEST_CASE("layouts: what is said of random engines is so, too") {
    int told = 0, banks = 0;
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        CAPTURE(seed);
        const ScratchFolder scratch;
        const auto path =
            scratch.write("case.toml", test::random_engine(test::EngineRange::ordinary, seed).text);
        const Case c = read_case(path, {});
        const auto result = scratch.path("r.json");
        const auto solved = run_plenair({"solve",
                                         path,
                                         "--bands",
                                         "off",
                                         "--set",
                                         "model.cells=largest cell 80 mm",
                                         "-o",
                                         result});
        if (solved.status != 0) continue;
        ++told;
        banks += c.intake.banks.size() > 1 ? 1 : 0;
        std::vector<Said> all{{"random: solve", solved.out}};
        all.push_back({"random: check", printed({"check", path})});
        printed({"draw", path, "--quiet", "-o", scratch.path("d.svg")});
        all.push_back({"random: draw", visible(read_text(scratch.path("d.svg")))});
        printed({"report", result, "--no-live", "--quiet", "-o", scratch.path("r.html")});
        all.push_back({"random: report", visible(read_text(scratch.path("r.html")))});
        for (const auto& said : all) read(said, c);
    }
    CHECK(told > 12);
    CHECK(banks > 0);
}

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
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const auto cells = split(lines[i], ',');
        const int cylinder = std::stoi(cells.at(column("cylinder_number")));
        const auto row = std::find_if(rows.begin(), rows.end(), [&](const auto& each) {
            return std::find(each.along.begin(), each.along.end(), cylinder) != each.along.end();
        });
        CHECK(cells.at(column("bank_text")) == row->bank);
        CHECK_FALSE(cells.at(column("bank_spread_percent")).empty());
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

TEST_CASE("layouts: two banks of one name are refused") {
    const ScratchFolder scratch;
    std::string text = read_text(test::layout_path("v8-opposed"));
    text.replace(text.find("name = \"right\""), 14, "name = \"left\" ");
    (void)scratch.write("twins.toml", text);
    const auto outcome = run_plenair({"check", scratch.path("twins.toml")});
    CHECK(outcome.status == 2);
    CHECK(has(outcome.err, "bank.left.name = left: two banks of this name; give each its own"));
}
