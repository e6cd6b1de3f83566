#include "cases/file/fitted_case.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "geometry/error.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <string>

/// Fits of a case whose sizes nobody has confirmed, and readings that nobody should believe at
/// once.
namespace {

using plenair::Case;
using plenair::FitResult;

const Case& drawn() {
    static const Case c = plenair::read_case("cases/shipped/hill-climb-four/case.toml", {});
    return c;
}

/// The shipped engine with a width and a runner that are guesses.
const Case& guessed() {
    static const Case c = plenair::parse_case(
        drawn().text +
            "\n[assumed]\n"
            "slot.width = { basis = \"common practice\", within = \"15 %\" }\n"
            "runner.length = { basis = \"common practice\", within = \"10 %\" }\n",
        "guessed.toml",
        {});
    return c;
}

const std::string bench =
    "[[bench]]\nset_up = \"slot\"\ndepression = \"28 inH2O\"\ntemperature = \"20 "
    "degC\"\nbarometer = \"101.325 kPa abs\"\nuncertainty = \"1.5 %\"\nflow = ";

FitResult fitted(const Case& c, const std::string& body) {
    return plenair::fit(c, plenair::parse_measured("format = 1\n" + body, "m.toml", c), {});
}

const plenair::FittedEntry& width_of(const FitResult& result) {
    const auto found = std::find_if(result.entries.begin(),
                                    result.entries.end(),
                                    [](const auto& e) { return e.key == "slot.width"; });
    REQUIRE(found != result.entries.end());
    return *found;
}

bool noted(const FitResult& result, const std::string& words) {
    return std::any_of(result.notes.begin(), result.notes.end(), [&](const auto& note) {
        return has(note, words);
    });
}

}  // namespace

TEST_CASE("fit: the band of an assumed size is its prior") {
    const auto result = fitted(guessed(), bench + "\"431 CFM\"\n");
    REQUIRE(result.converged);
    const auto& width = width_of(result);
    CHECK(width.before_half == near(0.15 * width.before, 1e-6));
    CHECK(width.after_half < 0.8 * width.before_half);
    CHECK(noted(result, "assumed entries are taken as they stand, runner.length:"));
    CHECK_FALSE(noted(fitted(drawn(), bench + "\"431 CFM\"\n"), "assumed"));
}

TEST_CASE("fit: what was gauged is no longer assumed in the fitted case") {
    const std::string gauge = "[[gauge]]\nentry = \"slot.width\"\nvalue = \"6.02 mm\"\n";
    const auto m = plenair::parse_measured(
        "format = 1\n" + gauge + bench + "\"431 CFM\"\n", "m.toml", guessed());
    const auto text = plenair::fitted_case(guessed(), m, plenair::fit(guessed(), m, {}));
    const auto again = plenair::parse_case(text, "fitted.toml", {});
    REQUIRE(again.assumed.size() == 1);
    CHECK(again.assumed[0].key == "runner.length");
    CHECK(again.intake.banks[0].slot->pieces[0].width.at(0.2) == near(6.02e-3, 5e-3));
}

TEST_CASE("fit: in several banks too, and what one bank's gauge says leaves the other's assumed") {
    auto text = plenair::test::layout("v2-two-banks").text;
    for (auto at = text.find("\nedge_radius"); at != std::string::npos;
         at = text.find("\nedge_radius", at + 1)) {
        text.insert(text.find('\n', at + 1), "  # assumed; pre-chamber side");
    }
    for (auto at = text.find("\nbore = \"54 mm\""); at != std::string::npos;
         at = text.find("\nbore = \"54 mm\"", at + 1)) {
        text.insert(text.find('\n', at + 1), "  # assumed");
    }
    text += "\n[assumed]\nslot.edge_radius = \"a guess\"\nthrottle.bore = \"a guess\"\n";
    const auto c = plenair::parse_case(text, "banks.toml", {});
    const auto gauges = [&](const std::string& more) {
        std::string body =
            "format = 1\n[[gauge]]\nbank = \"front\"\nentry = \"throttle.bore\"\n"
            "value = \"54.02 mm\"\n" +
            more;
        for (const auto* bank : {"front", "rear"}) {
            body += fmt::format(
                "[[gauge]]\nbank = \"{0}\"\nentry = \"slot.edge_radius\"\nvalue = \"1.6 mm\"\n"
                "[[bench]]\nbank = \"{0}\"\nset_up = \"slot\"\ndepression = \"28 "
                "inH2O\"\nflow = \"100 g/s\"\n",
                bank);
        }
        const auto m = plenair::parse_measured(body, "m.toml", c);
        return plenair::fitted_case(c, m, plenair::fit(c, m, {}));
    };
    const auto one = gauges("");
    CHECK_FALSE(has(one, "# assumed; pre-chamber side"));
    CHECK(has(one, "# pre-chamber side"));
    CHECK_FALSE(has(one, "\nslot.edge_radius = \"a guess\""));
    CHECK(has(one, "bore = \"54.02 mm\"\n"));
    CHECK(has(one, "bore = \"54 mm\"  # assumed\n"));
    CHECK(has(one, "\nthrottle.bore = \"a guess\""));
    const auto both =
        gauges("[[gauge]]\nbank = \"rear\"\nentry = \"throttle.bore\"\nvalue = \"54 mm\"\n");
    CHECK_FALSE(has(both, "# assumed"));
    CHECK_FALSE(has(both, "\nthrottle.bore = \"a guess\""));
}

TEST_CASE("fit: a slipped decimal is asked for and bends nothing") {
    for (const char* flow : {"43.1 CFM", "4.31 CFM", "4310 CFM"}) {
        CAPTURE(flow);
        std::string said = "accepted";
        try {
            (void)fitted(drawn(), bench + "\"" + flow + "\"\n");
        } catch (const plenair::InputError& error) {
            said = error.messages().front();
        }
        CHECK(has(said, "m.toml: bench slot: "));
        CHECK(has(said, "are predicted; check the number and its unit, or take it out"));
    }
    // One that is far off, yet may be so, is weighed down and named.
    CHECK(
        noted(fitted(drawn(), bench + "\"260 CFM\"\n" + bench + "\"431 CFM\"\n"), "read it again"));
}

TEST_CASE("fit: sensors are exchanged with one that is there, and a trim in doubt is the richer") {
    // Cylinder 2 reads rich; 3 has no sensor.
    const auto result = fitted(drawn(),
                               "[[engine]]\npoint = \"A4\"\nlambda_uncertainty = "
                               "0.004\ncylinders = [1, 2, 4]\nlambda = [0.80, 0.765, 0.80]\n");
    REQUIRE(result.converged);
    REQUIRE_FALSE(result.next.empty());
    CHECK(has(result.next[0].what, "sensors of cylinders"));
    CHECK_FALSE(has(result.next[0].what, "3"));
    REQUIRE(result.trims.size() == 4);
    CHECK(result.trims[1].either);
    CHECK(result.trims[1].trim > -0.03);
    CHECK(result.trims[1].half > 0.01);
    CHECK(noted(result, "cylinder 2: injector and sensor are not told apart"));
}
