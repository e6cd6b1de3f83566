#include "cases/file/read.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

using plenair::BenchResult;
using plenair::test::run_rig;
using plenair::test::SlotHeader;

namespace {

/// 388 x 6.0 mm, land 8 mm, edge radius 2.0 mm, 101.325 kPa, 20 degC, at 28 inH2O.
BenchResult insert(const std::string& compressibility) {
    return run_rig(R"(format = 1
[slot]
x = "6 mm"
length = "388 mm"
width = "6.0 mm"
land = "8.0 mm"
edge_radius = "2.0 mm"
[bench]
set_ups = ["slot"]
depression = "28 inH2O"
pressure = "101.325 kPa abs"
temperature = "20 degC"
[model]
slot_compressibility = ")" +
                   compressibility + "\"\n");
}

}  // namespace

TEST_CASE("slot insert: flow alone on the bench at 28 inH2O") {
    // Cd by McGreehan W. F., Schotsch M. J. 1988, J. Turbomach. 110, 183-188, without correction
    // for compressibility, worked by hand at Re 1e5 (here 7.3e4): good to 0.001 in Cd.
    const BenchResult result = insert("off");
    CHECK(result.reference_area == near(2.328e-3, 1e-12));
    CHECK(result.cd == near(0.875, 0, 1e-3));
    CHECK(result.flow == near(0.2541, 1e-3 / 0.875));
    CHECK(result.flow / result.density / 4.71947443e-4 == near(447, 0, 0.5));  // CFM
    CHECK(result.flow * 60 / 0.45359237 == near(33.6, 0, 0.05));  // lb/min
}

TEST_CASE("slot insert: gases of equal gamma follow one mass-flow function") {
    // mdot sqrt(R T)/(A p) depends on gamma and pressure ratio alone.
    const auto function = [](double gas_constant) {
        const BenchResult r = run_rig(fmt::format(R"(format = 1
[source]
gas_constant = {}
gamma = 1.4
[slot]
x = "0 mm"
length = "400 mm"
width = "4 mm"
cd = 0.62
[bench]
set_ups = ["slot"]
depression = "20 kPa"
)",
                                                  gas_constant));
        return r.flow * std::sqrt(gas_constant);
    };
    CHECK(function(4124.0) == near(function(287.05), 1e-9));
}

TEST_CASE("header: gases of equal gamma share alike along the slot") {
    const auto flow = [](double gas_constant) {
        SlotHeader header;
        header.depression = 200;
        std::string text = header.text();
        const std::string key = "[source]\n";
        text.insert(text.find(key) + key.size(),
                    fmt::format("gas_constant = {}\ngamma = 1.4\n", gas_constant));
        return plenair::test::over_mean(run_rig(text).flow_per_length);
    };
    const auto air = flow(287.05);
    const auto light = flow(4124.0);
    REQUIRE(air.size() == light.size());
    for (std::size_t i = 0; i < air.size(); ++i) {
        CHECK(light[i] == near(air[i], 1e-9));
    }
}

TEST_CASE("header: a regain factor that would make energy is refused") {
    // As the outflow tends to zero the second law asks theta <= 1 + phi/2 (here 1.45).
    SlotHeader header;
    header.model.regain = 1.6;
    header.model.crossflow_loss = 0.9;
    CHECK_THROWS_AS(plenair::parse_case(header.text(), "rig.toml", {}), plenair::InputError);
    header.model.regain = 1.45;
    CHECK_NOTHROW(plenair::parse_case(header.text(), "rig.toml", {}));
}
