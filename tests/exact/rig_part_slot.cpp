#include "cases/report/words/numbers.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

// A slot that takes in only part of a straight header: beside it the closed form of the header with
// a slot over its whole length (Acrivos A., Babcock B. D., Pigford R. L. 1959, Chem. Eng. Sci. 10,
// 112-124) holds, for ahead of the slot nothing is lost and behind it nothing flows.

namespace {

plenair::BenchResult part_slot(const std::string& feed) {
    return plenair::test::run_rig(plenair::test::source_text(200, "slot") +
                                  fmt::format(R"([pre_chamber]
length = "400 mm"
area = "1800 mm2"
feed = "{}"
[slot]
x = "100 mm"
length = "200 mm"
width = "5 mm"
cd = 0.7
[model]
regain = 1.0
friction = "off"
slot_compressibility = "off"
)",
                                              feed));
}

constexpr double m = 0.7 * 200 * 5 / 1800;

}  // namespace

TEST_CASE("part of a header slotted: the reported ends are the closed form's") {
    const auto result = part_slot("open");
    const auto shape = plenair::slot_shape(result.x, result.flow_per_length);
    REQUIRE(shape.has_value());
    // 0.25 %: where a slot begins within its header the single cells alternate by 0.35 %.
    CHECK(shape->start_over_mean == near(m / std::tan(m), 2.5e-3));
    CHECK(shape->far_over_mean == near(m / std::sin(m), 2.5e-3));
    const auto flow = plenair::test::over_mean(result.flow_per_length);
    for (std::size_t i = 0; i < flow.size(); ++i) {
        const double along = (static_cast<double>(i) + 0.5) / static_cast<double>(flow.size());
        CHECK(flow[i] == near(m * std::cos(m * (1 - along)) / std::sin(m), 4e-3));
    }
}

TEST_CASE("part of a header slotted: fed from the other end it is the mirror image") {
    const auto one = part_slot("open").flow_per_length;
    const auto other = part_slot("open far").flow_per_length;
    REQUIRE(one.size() == other.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
        CHECK(other[one.size() - 1 - i] == near(one[i], 1e-6));
    }
}
