#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

// A small slot past which air streams to a large one at the closed end, both of coefficient 0.625.
// Referred to the total head E = (p - p_out)/rho + V^2/2, with x = V^2/(2 E), its coefficient must
// lie between 0.63 - 0.58 x (Koh R. C. Y., Brooks N. H. 1975, Annu. Rev. Fluid Mech. 7, 187-211:
// sharp ports) and 0.625 sqrt(1 - x) (Kaddah 1964, share of the hole tending to nothing) for x <
// 0.5.

namespace {

struct CrossFlow {
    double x = 0, coefficient = 0;
};

CrossFlow cross_flow(double far_width) {
    plenair::test::PlainModel model;
    model.largest_cell = 4;
    const auto result = plenair::test::run_rig(plenair::test::source_text(200, "slot") +
                                               fmt::format(R"([pre_chamber]
length = "400 mm"
area = "2000 mm2"
feed = "open"
[slot]
cd = 0.625
pieces = [{{ x = "100 mm", length = "4 mm", width = "0.5 mm" }},
          {{ x = "240 mm", length = "160 mm", width = "{} mm" }}]
)",
                                                           far_width) +
                                               plenair::test::model_text(model));
    const double through = result.flow - result.flow_per_length.front() * 4e-3;
    const double velocity =
        (through + 0.5 * result.flow_per_length.front() * 4e-3) / (result.density * 2000e-6);
    const double head = result.depression / result.density;  // nothing lost before the slot
    const double ideal = 2e-6 * result.density * std::sqrt(2 * head);
    return {0.5 * velocity * velocity / head, result.flow_per_length.front() * 4e-3 / ideal};
}

}  // namespace

TEST_CASE("cross-flow: a slot in the network lies between the static limit and sharp ports") {
    double last = 0;
    for (const double width : {4.0, 7.0, 10.0, 13.0}) {
        CAPTURE(width);
        const CrossFlow c = cross_flow(width);
        CAPTURE(c.x);
        CHECK(c.x > last);
        CHECK(c.x < 0.5);
        last = c.x;
        // 0.2 %: discretisation of one cell among a hundred.
        CHECK(c.coefficient <= 0.625 * std::sqrt(1 - c.x) * 1.002);
        CHECK(c.coefficient >= (0.63 - 0.58 * c.x) * 0.998);
    }
    CHECK(last > 0.2);
}

TEST_CASE("cross-flow: a slot in the network is driven by the static pressure") {
    const CrossFlow c = cross_flow(10);
    CHECK(c.coefficient == near(0.625 * std::sqrt(1 - c.x), 2e-3));
}
