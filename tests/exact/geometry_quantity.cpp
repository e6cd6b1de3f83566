#include <doctest/doctest.h>

#include "geometry/quantity.hpp"
#include "tests/support/near.hpp"

#include <numbers>
#include <stdexcept>
#include <string>

using namespace plenair::geometry;
using std::numbers::pi;

namespace {

double value(std::string_view text, Dimension dimension, const PressureContext& context = {}) {
    const auto outcome = parse_quantity(text, dimension, context);
    INFO(std::string(text), ": ", outcome.problem);
    REQUIRE(outcome.value.has_value());
    return *outcome.value;
}

std::string refusal(std::string_view text,
                    Dimension dimension,
                    const PressureContext& context = {}) {
    const auto outcome = parse_quantity(text, dimension, context);
    CHECK_FALSE(outcome.value.has_value());
    return outcome.problem + "; " + outcome.remedy;
}

std::string list_refusal(std::string_view text, Dimension dimension) {
    const auto outcome = parse_list(text, dimension);
    CHECK_FALSE(outcome.values.has_value());
    return outcome.problem + "; " + outcome.remedy;
}

const PressureContext difference{PressureKind::difference, {}, {}};

PressureContext site(double barometer) {
    return {PressureKind::absolute, barometer, {}};
}

}  // namespace

TEST_CASE("units: lengths, areas and volumes become SI") {
    CHECK(value("6.0 mm", Dimension::length) == near(0.006, 1e-15));
    CHECK(value("6mm", Dimension::length) == near(0.006, 1e-15));
    CHECK(value("+3.2 um", Dimension::length) == near(3.2e-6, 1e-15));
    CHECK(value("2.677 in", Dimension::length) == near(0.0679958, 1e-12));
    CHECK(value("4100 mm2", Dimension::area) == near(0.0041, 1e-15));
    CHECK(value("1 in2", Dimension::area) == near(645.16e-6, 1e-14));
    CHECK(value("2.56 L", Dimension::volume) == near(0.00256, 1e-15));
    CHECK(value("1 in3", Dimension::volume) == near(16.387064e-6, 1e-14));
}

TEST_CASE("units: pressures state gauge or absolute") {
    // NIST SP 811 (2008) appendix B.8: psi 6894.757, inHg 3386.389, inH2O 249.0889, mmHg 133.3224.
    CHECK(value("22.64 psi g", Dimension::pressure, site(93.9e3)) == near(250.0e3, 2e-4));
    CHECK(value("250 kPa abs", Dimension::pressure) == near(250e3, 1e-15));
    CHECK(value("1 psi abs", Dimension::pressure) == near(6894.757, 5e-8));
    CHECK(value("1 inHg abs", Dimension::pressure) == near(3386.389, 1e-9));
    CHECK(value("28 inH2O", Dimension::pressure, difference) == near(6974.489, 1e-6));
    CHECK(value("760 mmHg abs", Dimension::pressure) == near(101325, 1e-6));
    CHECK(value("-0.2 bar g", Dimension::pressure, site(1e5)) == near(8e4, 1e-12));
    CHECK(value("1.01325 bar abs", Dimension::pressure) == near(101325, 1e-12));
    CHECK(refusal("22 psi", Dimension::pressure) ==
          "neither gauge nor absolute; state psi g or psi abs");
    CHECK(refusal("22 psi g", Dimension::pressure).find("barometer") != std::string::npos);
    CHECK(refusal("22 psig", Dimension::pressure).find("\"psi g\"") != std::string::npos);
    CHECK(refusal("-2 bar g", Dimension::pressure, site(1e5)).starts_with("below vacuum"));
    CHECK(refusal("28 inH2O abs", Dimension::pressure, difference).find("neither abs nor g") !=
          std::string::npos);
}

TEST_CASE("units: temperatures, flows, speeds and times become SI") {
    CHECK(value("18 degC", Dimension::temperature) == near(291.15, 1e-14));
    CHECK(value("68 degF", Dimension::temperature) == near(293.15, 1e-14));
    CHECK(refusal("-300 degC", Dimension::temperature).starts_with("below absolute zero"));
    CHECK(value("8600 rpm", Dimension::speed) == near(8600 * pi / 30, 1e-14));
    CHECK(value("46.4 lb/min", Dimension::mass_flow) == near(0.350778, 1e-6));
    CHECK(value("360 kg/h", Dimension::mass_flow) == near(0.1, 1e-14));
    CHECK(value("447 CFM", Dimension::volume_flow) == near(0.2109605, 1e-6));
    CHECK(value("480 cc/min", Dimension::fuel_flow) == near(8e-6, 1e-14));
    CHECK(value("10 lb/h", Dimension::fuel_flow, {PressureKind::absolute, {}, 720.0}) ==
          near(4.5359237 / 3600 / 720, 1e-14));
    CHECK(refusal("10 lb/h", Dimension::fuel_flow).find("density") != std::string::npos);
    CHECK(value("0.95 ms", Dimension::time) == near(0.95e-3, 1e-14));
    CHECK(value("5 %", Dimension::ratio) == near(0.05, 1e-15));
    CHECK(value("0.05", Dimension::ratio) == 0.05);
    CHECK(value("1.05", Dimension::none) == 1.05);
}

TEST_CASE("units: valve events become crank angles after firing TDC") {
    const double deg = pi / 180;
    CHECK(value("28 deg BTDC", Dimension::intake_event) == near(2 * pi - 28 * deg, 1e-15));
    CHECK(value("64 deg ABDC", Dimension::intake_event) == near(3 * pi + 64 * deg, 1e-15));
    CHECK(value("66 deg BBDC", Dimension::exhaust_event) == near(pi - 66 * deg, 1e-15));
    CHECK(value("24 deg ATDC", Dimension::exhaust_event) == near(2 * pi + 24 * deg, 1e-15));
    CHECK(value("20 deg BTDC", Dimension::firing_event) == near(-20 * deg, 1e-15));
    CHECK(value("616.5 deg after firing TDC", Dimension::intake_event) == near(616.5 * deg, 1e-15));
    CHECK(value("-20 deg after firing TDC", Dimension::firing_event) == near(-20 * deg, 1e-15));
    CHECK(refusal("28 deg", Dimension::intake_event).find("BTDC, ATDC, BBDC or ABDC") !=
          std::string::npos);
    CHECK(refusal("28 deg BTDC", Dimension::angle).find("BTDC") != std::string::npos);
    CHECK(format_quantity(2 * pi - 28 * deg, Dimension::intake_event) == "28 deg BTDC");
    CHECK(format_quantity(3 * pi + 64 * deg, Dimension::intake_event) == "64 deg ABDC");
    CHECK(format_quantity(pi - 66 * deg, Dimension::exhaust_event) == "66 deg BBDC");
    CHECK(format_quantity(-20 * deg, Dimension::firing_event) == "20 deg BTDC");
}

TEST_CASE("units: what cannot be read is refused with a remedy") {
    CHECK(refusal("6", Dimension::length) == "no unit; write \"6 mm\"");
    CHECK(refusal("250", Dimension::pressure) == "no unit; write \"250 kPa abs\"");
    CHECK(refusal("6,0 mm", Dimension::length) == "decimal comma; write \"6.0 mm\"");
    CHECK(refusal("8,600 rpm", Dimension::speed) ==
          "decimal comma; write \"8.600 rpm\" or \"8600 rpm\"");
    CHECK(refusal("6, 7 mm", Dimension::length).starts_with("a list where one number"));
    CHECK(refusal("6 kPa", Dimension::length).starts_with("\"kPa\" measures pressure, not length"));
    CHECK(refusal("6 MM", Dimension::length) == "\"MM\" is not a unit; write \"mm\"");
    CHECK(refusal("6 ell", Dimension::length) ==
          "\"ell\" is not a unit of length; use mm, cm, m, in, um");
    CHECK(refusal("6 mm wide", Dimension::length).starts_with("\"wide\" follows the unit"));
    CHECK(refusal("", Dimension::length).starts_with("empty"));
    CHECK(refusal("  ", Dimension::length).starts_with("empty"));
    CHECK(refusal("nan mm", Dimension::length).starts_with("not a finite number"));
    CHECK(refusal("inf", Dimension::none).starts_with("not a finite number"));
    CHECK(refusal("-inf K", Dimension::temperature).starts_with("not a finite number"));
    CHECK(refusal("1e999 mm", Dimension::length).starts_with("the number is too large"));
    CHECK(refusal("1e308 bar abs", Dimension::pressure).starts_with("the number is too large"));
    CHECK(refusal("wide mm", Dimension::length).find("does not start with a number") !=
          std::string::npos);
}

TEST_CASE("units: other people's spellings are refused, with what they mean") {
    using enum Dimension;
    struct Spelt {
        const char* text;
        Dimension dimension;
        const char* unit;
    };
    for (const auto& spelt : {Spelt{"86 milimeter", length, "mm"},
                              Spelt{"86 Millimetre", length, "mm"},
                              Spelt{"0.006 meter", length, "m"},
                              Spelt{"0.25''", length, "in"},
                              Spelt{"33 C", temperature, "degC"},
                              Spelt{"33 deg C", temperature, "degC"},
                              Spelt{"306 F", temperature, "degF"},
                              Spelt{"306 degrees F", temperature, "degF"},
                              Spelt{"5500 1/min", speed, "rpm"},
                              Spelt{"5500 U/min", speed, "rpm"},
                              Spelt{"5500 rev/min", speed, "rpm"},
                              Spelt{"4000 sqmm", area, "mm2"},
                              Spelt{"4000 sq. mm", area, "mm2"},
                              Spelt{"4000 mm^2", area, "mm2"},
                              Spelt{"990 hPa abs", pressure, "mbar"},
                              Spelt{"180 kPa absolute", pressure, "abs"},
                              Spelt{"180 kPa (g)", pressure, "g"}}) {
        const std::string text = spelt.text;
        CAPTURE(text);
        CHECK_FALSE(parse_quantity(text, spelt.dimension).value.has_value());
        CHECK(
            refusal(text, spelt.dimension).ends_with("; write \"" + std::string(spelt.unit) + '"'));
    }
    CHECK(refusal("33 deg C", temperature) ==
          "\"deg C\" is not a unit of temperature; write \"degC\"");
    CHECK(refusal("6 thou", length) == "\"thou\" is not a unit of length; write \"0.006 in\"");
    CHECK(parse_list("5, 6 thou", length).remedy == "use in, of which it is 0.001");
    // What means nothing else here is no spelling of anything.
    CHECK(refusal("33 C", length) == "\"C\" is not a unit of length; use mm, cm, m, in, um");
    CHECK(refusal("180 kPa total", pressure) ==
          "\"total\" is neither g nor abs; state kPa g or kPa abs");
}

TEST_CASE("units: a number is too large or too small to hold") {
    const std::string zeros(400, '0');
    for (const auto& large :
         {std::string("1e999 mm"), std::string("-1e+400 mm"), "1" + zeros + " mm"}) {
        CHECK(refusal(large, Dimension::length).starts_with("the number is too large to hold"));
    }
    for (const auto& small : {std::string("1e-999 mm"), "0." + zeros + "1 mm"}) {
        CHECK(refusal(small, Dimension::length).starts_with("the number is too small to hold"));
    }
}

TEST_CASE("units: a list has one unit at its end") {
    const auto list = parse_list("54.5, 151.5,  248.5, 345.5 mm", Dimension::length);
    REQUIRE(list.values.has_value());
    REQUIRE(list.values->size() == 4);
    CHECK((*list.values)[3] == near(0.3455, 1e-15));
    const auto single = parse_list("6 mm", Dimension::length);
    REQUIRE(single.values.has_value());
    CHECK(single.values->size() == 1);
    CHECK(list_refusal("0,400 mm", Dimension::length).starts_with("a comma without a space"));
    CHECK(list_refusal("0 mm, 400 mm", Dimension::length)
              .starts_with("the unit stands in the middle"));
    CHECK(list_refusal("0, 400", Dimension::length) == "no unit; write \"0, 400 mm\"");
    CHECK(list_refusal("0, ", Dimension::length).starts_with("the list ends with a comma"));
    CHECK(list_refusal("0, x mm", Dimension::length).find("does not start with a number") !=
          std::string::npos);
}

TEST_CASE("units: SI values are shown in workshop units, inches in brackets") {
    CHECK(format_quantity(0.006, Dimension::length) == "6 mm (0.2362 in)");
    CHECK(format_quantity(0.0041, Dimension::area) == "4100 mm2 (6.355 in2)");
    CHECK(format_quantity(0.00256, Dimension::volume) == "2.56 L (156.2 in3)");
    CHECK(format_quantity(447.56e-6, Dimension::volume) == "447.56 cc (27.31 in3)");
    CHECK(format_quantity(250e3, Dimension::pressure) == "250 kPa abs");
    CHECK(format_quantity(200, Dimension::pressure, PressureKind::difference) == "0.2 kPa");
    CHECK(format_quantity(8600 * pi / 30, Dimension::speed) == "8600 rpm");
    CHECK(format_quantity(0.95, Dimension::ratio) == "0.95");
    CHECK(format_fixed(0.42, "mm") == "420.0 mm");
    CHECK(to_unit(293.15, "degC") == near(20, 1e-12));
    CHECK_THROWS_AS((void)to_unit(1, "furlong"), std::invalid_argument);
}
