#include "cases/file/read.hpp"
#include "tests/support/near.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <string>

/// Points that name the compressor outlet and the cooler.
namespace {

/// The hill-climb four with the state of A1 given at the compressor.
std::string four(const std::string& state, const std::string& charge) {
    std::ifstream in("cases/shipped/hill-climb-four/case.toml");
    std::string text{std::istreambuf_iterator<char>(in), {}};
    const std::string plain = "pressure = \"180 kPa abs\"\ntemperature = \"306 K\"\n";
    const auto at = text.find(plain);
    REQUIRE(at != std::string::npos);
    text.replace(at, plain.size(), state);
    return text + charge;
}

std::string refusal(const std::string& state, const std::string& charge) {
    try {
        (void)plenair::parse_case(four(state, charge), "case.toml", {});
    } catch (const plenair::InputError& error) {
        return error.what();
    }
    return "accepted";
}

const std::string outlet =
    "compressor_pressure = \"22.64 psi g\"\ncompressor_temperature = \"140 degC\"\n";

}  // namespace

TEST_CASE("charge: cooler of 70 % and 1.0 psi, by hand") {
    // 22.64 psi g at 93.9 kPa are 250.0 kPa, less 6.895; 413.15 K - 0.7 (413.15 - 291.15) K, the
    // coolant being the air outside at 18 degC.
    const auto c = plenair::parse_case(
        four(outlet, "\n[charge]\ncooler_effectiveness = \"70 %\"\ncooler_loss = \"1.0 psi\"\n"),
        "case.toml",
        {});
    CHECK(c.points[0].pressure == near(243.1e3, 1e-3));
    CHECK(c.points[0].temperature == near(327.75, 1e-6));
    const auto cold = plenair::parse_case(
        four(outlet,
             "\n[charge]\ncooler_effectiveness = \"100 %\"\ncoolant_temperature = \"10 degC\"\n"),
        "case.toml",
        {});
    CHECK(cold.points[0].temperature == near(283.15, 1e-9));
    CHECK(cold.points[0].pressure == near(250.0e3, 1e-3));
}

TEST_CASE("charge: what is missing, twice or beyond its limit is named") {
    CHECK(has(refusal(outlet, "\n[charge]\ncooler_effectiveness = \"120 %\"\n"),
              "charge.cooler_effectiveness = 120 %: must be at most 100 %"));
    CHECK(has(refusal(outlet, ""), "a compressor outlet without its cooler"));
    CHECK(has(refusal("compressor_pressure = \"22.64 psi g\"\n",
                      "\n[charge]\ncooler_effectiveness = \"70 %\"\n"),
              "point.A1.compressor_temperature: missing; write compressor_temperature"));
    CHECK(has(refusal(outlet + "pressure = \"180 kPa abs\"\n",
                      "\n[charge]\ncooler_effectiveness = \"70 %\"\n"),
              "beside compressor_pressure"));
    CHECK(has(refusal("", ""), "point.A1.pressure: missing; write pressure"));
}
