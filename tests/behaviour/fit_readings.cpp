#include "cases/file/fitted_case.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/fit.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

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

TEST_CASE("fit: the fitted case is read again, keeps its comments and holds what was learned") {
    const auto m = plenair::parse_measured("format = 1\n" + insert + width, "m.toml", four());
    const auto result = plenair::fit(four(), m, {});
    const auto text = plenair::fitted_case(four(), m, result);
    CHECK(has(text, "# every 180 deg"));
    const auto again = plenair::parse_case(text, "fitted.toml", {});
    const auto& slot = *again.intake.banks[0].slot;
    REQUIRE(slot.cd.has_value());
    CHECK(*slot.cd == near(result.slot_cd, 1e-3));
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
