#include "geometry/places.hpp"
#include "tests/support/layouts_json.hpp"
#include "tests/support/layouts_said.hpp"
#include "tests/support/random_engine.hpp"

#include <set>

/// Every sentence that names an end, a bank or a cylinder is read in every output of every verb and
/// held against the layout, which the test works out for itself.

using namespace plenair;
using namespace plenair::test;
using nlohmann::json;

namespace {

std::vector<int> numbers_in(const std::string& text) {
    std::vector<int> numbers;
    const std::regex digits("[0-9]+");
    for (std::sregex_iterator at(text.begin(), text.end(), digits), end; at != end; ++at) {
        numbers.push_back(std::stoi(at->str()));
    }
    return numbers;
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

/// Inputs of several banks are named with theirs: "front slot.width"; of one bank with none. What
/// is proposed for all alike says so: "slot.width of every bank".
void read_inputs(const Said& said, const Case& c) {
    const auto rows = test::standings(c);
    for (const auto& m :
         matches(said.text,
                 "\n  ([A-Za-z]+ )?(slot|throttle|pre_chamber|plenum)\\.[a-z_]+\\b(?! of every)")) {
        CAPTURE(m.str());
        const std::string bank = m[1].matched ? m[1].str().substr(0, m[1].str().size() - 1) : "";
        CHECK(std::any_of(
            rows.begin(), rows.end(), [&](const auto& row) { return row.bank == bank; }));
    }
}

/// Lengths are read in the units of the case; the other stands in brackets behind. The bar that
/// shows the scale of a print is 50 mm long whatever the case.
void read_units(const Said& said, const Case& c) {
    const std::string other = c.units.inches() ? "mm" : "in";
    // A unit alone, over a column.
    CHECK(matches(said.text, "(?:  |\n)" + other + "2?(?=  |\n)").empty());
    for (const std::string per : {"g/(s ", "each ", "per "})
        CHECK_FALSE(has(said.text, per + other + ")"));
    for (const auto& m : matches(said.text, "[0-9] " + other + "\\b(?! to)(?! \\(1.969 in\\))")) {
        const auto at = static_cast<std::size_t>(m.position());
        const auto open = said.text.rfind('(', at), close = said.text.rfind(')', at);
        const bool bracketed =
            open != std::string::npos && (close == std::string::npos || close < open);
        CHECK_MESSAGE(bracketed, said.text.substr(at < 60 ? 0 : at - 60, 90));
    }
}

/// Without a slot no verb speaks of one; what stands against measurements are other slots.
void read_slot(const Said& said, const Case& c) {
    const bool slot = std::any_of(c.intake.banks.begin(),
                                  c.intake.banks.end(),
                                  [](const auto& bank) { return bank.slot.has_value(); });
    static const std::set<std::string> verbs{"check", "solve", "bench", "trim", "compare", "draw"};
    if (slot || !verbs.contains(said.where.substr(said.where.find(": ") + 2))) return;
    const auto text = said.text.substr(0, said.text.find("Model limits"));
    CHECK_MESSAGE(matches(text, "\\b[Ss]lots?\\b").empty(), text);
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
        // Its losses in the table and in the page.
        CHECK(has(solve, row.bank + ": throttle "));
        CHECK(has(report, "Losses of each bank"));
    }
    // Every number of a part says whose it is.
    for (const auto& line : split(said_by(all, "check").text, '\n')) {
        const bool of_part = has(line, "wave") || has(line, "resonance of") ||
                             has(line, " of its ") || has(line, "throttle, wide open");
        if (rows.size() > 1 && of_part && !line.starts_with("warning")) {
            CHECK_MESSAGE(
                std::any_of(rows.begin(),
                            rows.end(),
                            [&](const auto& row) { return has(line, ", bank " + row.bank + " "); }),
                line);
        }
        CHECK_FALSE_MESSAGE(has(line, " 1 cylinders"), line);
    }
    const bool slot = c.intake.banks.front().slot.has_value() && c.engine.cylinder_count() > 1;
    CHECK(has(solve, "The slot ") == slot);
}

}  // namespace

TEST_CASE(
    "layouts: what is said of ends, banks and cylinders is so, in every output of every verb") {
    for (const auto& name : test::layouts()) {
        CAPTURE(name);
        const Case c = test::layout(name);
        const auto all = test::Speaker(name).all();
        for (const auto& said : all) {
            read(said, c);
            read_slot(said, c);
            if (said.where.ends_with("tolerance")) read_inputs(said, c);
            if (!has(said.where, "json") && !has(said.where, "csv")) read_units(said, c);
        }
        expect(all, c);
        const auto rows = test::standings(c);
        const auto solved = json::parse(said_by(all, "solve --json").text);
        for (const auto& point : solved.at("points")) {
            check_banks(point, rows);
            CHECK(point.at("slots").size() == (c.intake.banks.front().slot ? rows.size() : 0));
        }
        check_bench(json::parse(said_by(all, "bench --json").text), c, rows);
    }
}

TEST_CASE("layouts: what is said of random engines is so, too") {
    int told = 0, banks = 0;
    for (std::uint64_t seed = 1; seed <= 16; ++seed) {
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
    CHECK(told > 8);
    CHECK(banks > 0);
}
