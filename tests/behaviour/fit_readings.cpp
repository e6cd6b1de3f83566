#include "cases/file/fitted_case.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/as_made.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/fit_next.hpp"
#include "geometry/runner_metal.hpp"
#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

/// Fits of the invented hill-climb engine to readings that are made up.
namespace {

using plenair::Case;
using plenair::FitOptions;
using plenair::FitResult;
using plenair::InputError;

const Case& four() {
    static const Case c = plenair::read_case("cases/shipped/hill-climb-four/case.toml", {});
    return c;
}

const std::string insert =
    "[[bench]]\nset_up = \"slot\"\ndepression = \"28 inH2O\"\ntemperature = \"20 degC\"\nbarometer "
    "= \"101.325 kPa abs\"\nflow = \"431 CFM\"\nuncertainty = \"0.7 %\"\n";
const std::string width =
    "[[gauge]]\nentry = \"slot.width\"\nvalue = \"6.02, 6.01, 6.01, 6.00, 6.01, 6.02, 6.01, 6.01, "
    "6.02 mm\"\ninstrument = \"pin gauge\"\n";

FitResult fitted(const std::string& body, const std::vector<std::string>& entries = {}) {
    const auto m = plenair::parse_measured("format = 1\n" + body, "m.toml", four());
    FitOptions options;
    options.entries = entries;
    return plenair::fit(four(), m, options);
}

const plenair::FittedEntry& entry(const FitResult& result, const std::string& key) {
    const auto found = std::find_if(
        result.entries.begin(), result.entries.end(), [&](const auto& e) { return e.key == key; });
    REQUIRE(found != result.entries.end());
    return *found;
}

}  // namespace

TEST_CASE("fit: with the width gauged, 431 CFM mean a radius of 1.5 +/-0.1 mm") {
    const auto result = fitted(insert + width, {"slot.edge_radius"});
    REQUIRE(result.converged);
    const auto& radius = entry(result, "slot.edge_radius");
    CHECK(radius.after == near(1.5e-3, 0.0, 1e-4));
    CHECK(radius.after_half == near(1e-4, 0.0, 3e-5));
    CHECK_FALSE(radius.at_bound);
}

TEST_CASE("fit: one reading does not determine width and radius") {
    try {
        (void)fitted(insert, {"slot.width", "slot.edge_radius"});
        FAIL("was fitted");
    } catch (const InputError& error) {
        const std::string text = error.what();
        CHECK(has(text,
                  "not determined: 1 reading for these entries (slot.width, "
                  "slot.edge_radius)"));
        CHECK(has(text, "needs one of: a gauge of slot.width, a gauge of slot.edge_radius"));
    }
}

TEST_CASE("fit: of two readings alike, width and radius are not told apart") {
    const auto result = fitted(insert + insert, {"slot.width", "slot.edge_radius"});
    REQUIRE_FALSE(result.alike.empty());
    CHECK(has(result.alike[0], "slot.width and slot.edge_radius act alike"));
    CHECK(has(result.alike[0], "gauge one of them"));
}

TEST_CASE("fit: an entry that cannot be fitted is refused with those that can") {
    try {
        (void)fitted(insert, {"slot.widht"});
        FAIL("was fitted");
    } catch (const InputError& error) {
        CHECK(has(error.what(), "--entry slot.widht: cannot be fitted"));
        CHECK(has(error.what(), "slot.edge_radius"));
    }
}

TEST_CASE("fit: after 431 CFM the edge radius is what to gauge") {
    const auto result = fitted(insert + width);
    REQUIRE(result.converged);
    REQUIRE_FALSE(result.next.empty());
    CHECK(has(result.next[0].what, "gauge slot edge radius"));
    // The coefficient carries most of what was found: its band was 5 %, the radius' worth 1.4 %.
    CHECK(entry(result, "slot.coefficient").after < 0.98);
    CHECK(entry(result, "slot.coefficient").after_half <
          entry(result, "slot.coefficient").before_half);
}

TEST_CASE("fit: injector 3 is found at A4, and the slot is not bent for it") {
    const auto m = plenair::read_measured("cases/shipped/hill-climb-four/measured.toml", four());
    const auto result = plenair::fit(four(), m, {});
    REQUIRE(result.converged);
    REQUIRE_FALSE(result.faults.empty());
    CHECK(result.faults[0].kind == plenair::FaultKind::injector);
    CHECK(result.faults[0].cylinder == 3);
    CHECK(result.faults[0].named);
    CHECK(result.faults[0].size == near(-0.03, 0.0, 0.01));
    CHECK(result.splits[2].excess == near(0.024, 0.0, 0.006));
    CHECK(result.splits[2].probability_injector > 0.5);
    // The same fit without the engine readings: the slot learns from the bench alone.
    auto bench_only = m;
    bench_only.engine.clear();
    const auto without = plenair::fit(four(), bench_only, {});
    for (const auto* key : {"slot.width", "slot.edge_radius", "slot.coefficient"}) {
        CAPTURE(key);
        const auto& a = entry(result, key);
        const auto& b = entry(without, key);
        CHECK(a.after == near(b.after, 0.0, 0.2 * b.after_half));
    }
    // New trims give the lean cylinder more fuel.
    CHECK(result.trims[2].trim > 0.015);
}

// A prior of a runner's or a leak's effect that is scaled at the points read gives a point that
// those hardly saw any band.
TEST_CASE("fit: what was known before does not depend on the points that were read") {
    std::vector<FitResult> results;
    for (const char* point : {"A1", "A4"}) {
        results.push_back(fitted("[[engine]]\npoint = \"" + std::string(point) +
                                 "\"\nlambda = [0.86, 0.87, 0.85, 0.86]\n"));
        REQUIRE(results.back().converged);
    }
    REQUIRE(results[0].air.size() == four().points.size());
    for (std::size_t p = 0; p < four().points.size(); ++p) {
        CAPTURE(p);
        for (std::size_t c = 0; c < 4; ++c) {
            CHECK(results[0].air[p].before_half[c] == near(results[1].air[p].before_half[c], 0.1));
        }
    }
}

TEST_CASE("fit: the fitted case is read again, keeps its comments and holds what was learned") {
    const auto m = plenair::parse_measured("format = 1\n" + insert + width, "m.toml", four());
    const auto result = plenair::fit(four(), m, {});
    const auto text = plenair::fitted_case(four(), m, result);
    CHECK(has(text, "# every 180 deg"));
    const auto again = plenair::parse_case(text, "fitted.toml", {});
    const auto& slot = *again.intake.banks[0].slot;
    REQUIRE(slot.cd.has_value());
    REQUIRE(result.slot_cd.size() == 1);
    CHECK(*slot.cd == near(result.slot_cd[0], 1e-3));
    CHECK(*slot.cd == near(0.844, 0.0, 0.01));
    CHECK(slot.pieces[0].width.at(0.2) == near(6.01e-3, 1e-3));
    CHECK(slot.pieces[0].width.x().size() >= 9);
    // Fitted to the radius alone, the radius is what changes.
    FitOptions alone;
    alone.entries = {"slot.edge_radius"};
    const auto radius = plenair::fit(four(), m, alone);
    const auto made =
        plenair::parse_case(plenair::fitted_case(four(), m, radius), "fitted.toml", {});
    CHECK_FALSE(made.intake.banks[0].slot->cd.has_value());
    CHECK(made.intake.banks[0].slot->edge_radius == near(1.5e-3, 0.0, 1e-4));
}

namespace {

/// Lambda of the hill-climb four at A4 without noise, with the sensors in an order, where the
/// sensor at home at cylinder 2 reads 0.02 lean and injector 3 flows 3 % low; made up.
std::string engine_text(const FitResult& clean,
                        const std::vector<std::size_t>& order,
                        bool sensor) {
    std::string text = "[[engine]]\npoint = \"A4\"\nlambda_uncertainty = 0.004\nlambda = [";
    for (std::size_t c = 0; c < 4; ++c) {
        double lambda = 0.80 * (1 + clean.air[3].before[c]);
        lambda /= !sensor && c == 2 ? 0.97 : 1.0;
        lambda += sensor && order[c] == 1 ? 0.02 : 0.0;
        text += (c > 0 ? ", " : "") + std::to_string(lambda);
    }
    text += "]\nsensor_order = [";
    for (std::size_t c = 0; c < 4; ++c) {
        text += (c > 0 ? ", " : "") + std::to_string(order[c] + 1);
    }
    return text + "]\n";
}

}  // namespace

TEST_CASE("fit: a sensor moves with its fault, an injector keeps it at its cylinder") {
    const auto clean = fitted(insert);
    const std::vector<std::size_t> home{0, 1, 2, 3};
    const std::vector<std::size_t> moved{0, 2, 1, 3};
    for (const bool sensor : {true, false}) {
        CAPTURE(sensor);
        // Read once the two are as likely: it is asked to exchange sensors.
        const auto once = fitted(engine_text(clean, home, sensor));
        REQUIRE_FALSE(once.next.empty());
        CHECK(has(once.next[0].what, "A4 once more with the lambda sensors of cylinders"));
        const auto twice =
            fitted(engine_text(clean, home, sensor) + engine_text(clean, moved, sensor));
        REQUIRE(twice.converged);
        REQUIRE_FALSE(twice.faults.empty());
        CHECK(twice.faults[0].kind ==
              (sensor ? plenair::FaultKind::sensor : plenair::FaultKind::injector));
        CHECK(twice.faults[0].cylinder == (sensor ? 2 : 3));
        CHECK(twice.faults[0].named);
        CHECK(twice.faults[0].size == near(sensor ? 0.02 : -0.03, 0.0, 0.004));
        CHECK(twice.trims.size() == 4);
        if (!twice.next.empty()) {
            CHECK_FALSE(has(twice.next[0].what, "exchanged"));
        }
    }
}

TEST_CASE("fit: a banked engine learns of both slots, and the fitted case holds them") {
    const Case c = plenair::test::layout("v2-two-banks");
    const auto m = plenair::parse_measured(
        "format = 1\n"
        "[[bench]]\nbank = \"front\"\nset_up = \"slot\"\ndepression = \"28 inH2O\"\n"
        "flow = \"128 g/s\"\nuncertainty = \"1 %\"\n"
        "[[gauge]]\nbank = \"rear\"\nentry = \"slot.edge_radius\"\nvalue = \"1.2 mm\"\n"
        "instrument = \"radius gauge\"\n",
        "m.toml",
        c);
    const auto result = plenair::fit(c, m, {});
    REQUIRE(result.converged);
    REQUIRE(result.slot_cd.size() == 2);
    // The rear one has the smaller radius, so the smaller coefficient.
    CHECK(result.slot_cd[1] < result.slot_cd[0]);
    // One of two radii gauged leaves the other as open as it was.
    CHECK_FALSE(entry(result, "slot.edge_radius").gauged);
    const auto again = plenair::parse_case(plenair::fitted_case(c, m, result), "fitted.toml", {});
    for (std::size_t b = 0; b < 2; ++b) {
        const auto& slot = *again.intake.banks[b].slot;
        REQUIRE(slot.cd.has_value());
        CHECK(*slot.cd == near(result.slot_cd[b], 1e-3));
    }
    CHECK(again.intake.banks[1].slot->edge_radius == near(1.2e-3, 0.0, 1e-4));
    CHECK(again.intake.banks[0].slot->edge_radius == near(1.5e-3, 0.0, 1e-4));
}

TEST_CASE("fit: five places of a pressure tap are compared, those in bell mouths never advised") {
    const auto result = fitted(insert);
    REQUIRE(result.taps.size() == 1);
    const auto& tap = result.taps[0];
    REQUIRE(tap.places.size() == 5);
    CHECK(tap.cylinders == std::vector<int>{1, 2, 3, 4});
    CHECK(tap.points.size() == four().points.size());
    const auto& bank = four().intake.banks[0];
    const auto sum = [](const plenair::TapPlace& place) {
        double all = 0;
        for (const double unlike : place.unlike) all += unlike;
        return all;
    };
    for (const auto& place : tap.places) {
        CAPTURE(place.x);
        // Bell of 11 mm about a mouth of 46 mm (shipped case).
        bool inside = false;
        for (const auto& runner : bank.runners) {
            inside = inside || std::abs(place.x - runner.x) < 34e-3;
        }
        CHECK(place.in_mouth == inside);
        for (std::size_t p = 0; p < tap.points.size(); ++p) {
            REQUIRE(place.drawing_pressure[p].size() == 4);
            const auto [low, high] = std::minmax_element(place.drawing_pressure[p].begin(),
                                                         place.drawing_pressure[p].end());
            CHECK(place.unlike[p] == near(*high - *low, 1e-9));
            CHECK(*low > 50e3);
        }
        if (!place.in_mouth) CHECK(sum(tap.places[tap.best]) <= sum(place));
    }
    CHECK_FALSE(tap.places[tap.best].in_mouth);
    CHECK(has(tap.words, "pressure tap of the plenum at x"));
}

TEST_CASE("fit: readings of one set-up weigh as one, and are called apart where they are") {
    const std::string key = "slot.coefficient";
    const auto once = fitted(insert + width), twice = fitted(insert + insert + width);
    CHECK(entry(twice, key).after == near(entry(once, key).after, 0.0, 2e-4));
    CHECK(entry(twice, key).after_half == near(entry(once, key).after_half, 0.01));
    const auto other = [](const std::string& flow) {
        std::string text = insert;
        text.replace(text.find("431 CFM"), 7, flow);
        const auto m = plenair::parse_measured("format = 1\n" + insert + text, "m.toml", four());
        std::string all;
        for (const auto& warning : m.warnings) {
            all += warning + "\n";
        }
        return all;
    };
    CHECK(has(other("433 CFM"), "bench slot: 2 readings of one set-up weigh as one"));
    CHECK(has(other("380 CFM"), "bench slot: 2 readings of one set-up lie 13.4 % apart"));
}

TEST_CASE("fit: several readings at once narrow as much as one after the other") {
    // The update of a linear estimate (Kalman 1960), once with both readings and in two steps.
    Eigen::MatrixXd covariance(3, 3);
    covariance << 2, 0.3, -0.4, 0.3, 1, 0.2, -0.4, 0.2, 0.5;
    Eigen::MatrixXd both(2, 3);
    both << 1, 0.5, 0, -0.2, 1, 2;
    const plenair::study::Target target{Eigen::Vector3d(1, -1, 0.5), ""};
    const auto narrows = [&](const Eigen::MatrixXd& c, const Eigen::MatrixXd& rows) {
        return plenair::study::rank_next(c, {{"", 1, rows}}, {target}).at(0).spread_narrows;
    };
    const Eigen::VectorXd gain = covariance * both.row(0).transpose();
    const Eigen::MatrixXd then = covariance - gain * gain.transpose() / (1 + both.row(0).dot(gain));
    CHECK(1 - narrows(covariance, both) ==
          near((1 - narrows(covariance, both.row(0))) * (1 - narrows(then, both.row(1))), 1e-12));
}

TEST_CASE("fit: lambda at a point that was not read is one of the next measurements") {
    const auto result = plenair::fit(
        four(), plenair::read_measured("cases/shipped/hill-climb-four/measured.toml", four()), {});
    CHECK(std::any_of(result.next.begin(), result.next.end(), [](const auto& n) {
        return has(n.what, "lambda of all cylinders at A");
    }));
}

TEST_CASE("fit: a leak counts as an uncertainty, and more than the ideal flow is refused") {
    const std::string key = "slot.coefficient";
    const auto sealed = fitted(insert + width);
    const auto leaking = fitted(insert + "leakage = \"6 %\"\n" + width);
    CHECK(entry(leaking, key).after_half > 1.5 * entry(sealed, key).after_half);
    CHECK(std::any_of(leaking.notes.begin(), leaking.notes.end(), [](const auto& note) {
        return has(note, "bench slot: leakage of 6.0 % counts as an uncertainty");
    }));
    std::string much = insert;
    much.replace(much.find("431 CFM"), 7, "540 CFM");
    try {
        (void)fitted(much + width);
        FAIL("was fitted");
    } catch (const InputError& error) {
        CHECK(has(error.what(), "m.toml: bench slot: Cd 1.0"));
        CHECK(has(error.what(), "no opening passes more than its ideal flow"));
    }
}

TEST_CASE("fit: gauged throttles and runners stand in the fitted case as they were found") {
    const std::string gauges =
        "[[gauge]]\nentry = \"runner.diameter\"\nvalue = \"45.5, 45.6, 45.5, 45.4 mm\"\n"
        "[[gauge]]\nentry = \"runner.length\"\nvalue = \"168.2 mm\"\n"
        "[[gauge]]\nentry = \"throttle.bore\"\nvalue = \"67.9 mm\"\n";
    for (const std::string name :
         {"hill-climb-four/case.toml", "marine-six/two-chamber.toml", "v6-bank/case.toml"}) {
        CAPTURE(name);
        const auto c = plenair::read_case("cases/shipped/" + name, {});
        const auto& runner = c.intake.banks[0].runners[0];
        const auto mm = [](double metres) { return std::to_string(1e3 * metres) + " mm\"\n"; };
        const auto m = plenair::parse_measured(
            "format = 1\n[[gauge]]\nentry = \"runner.diameter\"\nvalue = \"" +
                mm(runner.mouth_diameter() - 4e-4) +
                "[[gauge]]\nentry = \"runner.length\"\nvalue = \"" +
                mm(plenair::geometry::flange_length(runner) + 3e-4) +
                "[[gauge]]\nentry = \"throttle.bore\"\nvalue = \"" +
                mm(c.intake.banks[0].throttles[0].bore - 1e-4) + insert,
            "m.toml",
            c);
        const auto text = plenair::fitted_case(c, m, plenair::fit(c, m, {}));
        const auto again = plenair::parse_case(text, "fitted.toml", {});
        const auto made = plenair::study::as_made(c, m).c;
        const auto& found = again.intake.banks[0];
        const auto& expected = made.intake.banks[0];
        CHECK(found.throttles[0].bore == near(expected.throttles[0].bore, 1e-6));
        for (std::size_t i = 0; i < expected.runners.size(); ++i) {
            CHECK(found.runners[i].length == near(expected.runners[i].length, 1e-6));
            for (double x = 1e-3; x < expected.runners[i].length; x += 7e-3) {
                CAPTURE(x);
                CHECK(found.runners[i].diameter.at(x) ==
                      near(expected.runners[i].diameter.at(x), 1e-5));
            }
        }
    }
    const auto m = plenair::parse_measured("format = 1\n" + gauges + insert, "m.toml", four());
    const auto text = plenair::fitted_case(four(), m, plenair::fit(four(), m, {}));
    CHECK(has(text,
              "diameter = { start = \"45.5, 45.6, 45.5, 45.4 mm\", end = \"42.5, 42.6, 42.5, "
              "42.4 mm\" }"));
}
