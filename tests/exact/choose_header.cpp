#include "cases/file/choose.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"
#include "tests/support/run_process.hpp"

#include <cmath>

using plenair::choose;
using plenair::ChooseOptions;
using plenair::ChooseResult;
using plenair::read_choose;
using plenair::test::SlotHeader;

// A header without friction that passes the same flow out of every length: m(X) = M (1 - X), so u
// is known along it, and the momentum law gives the pressure. With the share 2 - theta of its axial
// velocity leaving with the air (Acrivos A., Babcock B. D., Pigford R. L. 1959, Chem. Eng. Sci. 10,
// 112-124, with a section that changes),
//   d(m u) + A dp = (2 - theta) u dm,   so   dp = -rho u du + (1 - theta) (u/A) dm.
// The air enters from rest: p(0) = P - rho u0^2/2. The first term integrates to rho (u0^2 - u^2)/2,
// the second, with A = A0 (1 - a X) and t = 1 - a X, to
//   (theta - 1) M^2/(rho A0^2) I(X),   I = [(a - 1)(1/t - 1) - ln t]/a^2,   a -> 0: X - X^2/2.
// Each length then needs the width h = M/L / (Cd rho sqrt(2 (p - p_room)/rho)).

namespace {

constexpr double density = 101325 / (287.05 * 293.15);

struct EvenHeader {
    SlotHeader header;
    double head = 0.2;  ///< rho u0^2/2 over the depression

    [[nodiscard]] double area(double x) const {
        return header.area * 1e-6 * (1 - (1 - header.end_over_start) * x);
    }
    [[nodiscard]] double flow() const {
        return area(0) * std::sqrt(2 * density * head * header.depression);
    }
    [[nodiscard]] double width(double x) const {
        const double a = 1 - header.end_over_start, t = 1 - a * x;
        const double integral =
            a == 0 ? x - x * x / 2 : ((a - 1) * (1 / t - 1) - std::log(t)) / (a * a);
        const double m = flow() * (1 - x), inlet = flow() / area(0);
        const double u2 = (m / area(x)) * (m / area(x)) / (density * density);
        const double regain = (header.model.regain - 1) * inlet * inlet / density * integral;
        const double pressure = header.depression - density * u2 / 2 + regain;
        return flow() / (header.length * 1e-3) / (header.cd * std::sqrt(2 * density * pressure));
    }
    [[nodiscard]] std::string goal() const {
        const double low = width(0) * 1e3, mean = width(0.5) * 1e3;
        // The flow fixes how wide the whole slot is; a narrower one is always more even.
        return header.text() + fmt::format(R"([choose]
make_best = "evenness"
[choose.vary]
"slot.width" = {{ from = "{:.3f} mm", to = "{:.3f} mm", step = "0.01 mm", stations = 9 }}
[[choose.limit]]
of = "flow"
least = "{:.8f} g/s"
most = "{:.8f} g/s"
)",
                                           0.6 * std::min(low, mean),
                                           1.5 * std::max(low, mean),
                                           flow() * 1e3 * 0.9998,
                                           flow() * 1e3 * 1.0002);
    }
};

void check_profile(EvenHeader even) {
    even.header.model.largest_cell =
        even.header.length / 24;  // widths then err by a tenth of a percent
    const ScratchFolder scratch;
    const auto path = scratch.write("rig.toml", even.goal());
    const ChooseResult result = choose(read_choose(path, {}), ChooseOptions{});
    REQUIRE(result.numbers.size() == 9);
    MESSAGE(result.sentences.front() << " (" << result.variants << " rigs)");
    for (std::size_t i = 0; i < 9; ++i) {
        CAPTURE(i);
        const double exact = even.width(static_cast<double>(i) / 8) * 1e3;
        CHECK(result.chosen.numbers[i] == near(exact, 5e-3));
    }
}

}  // namespace

TEST_CASE("choose: a straight header's even width is the closed form, theta 1") {
    EvenHeader even;
    even.header.depression = 200;
    check_profile(even);
}

TEST_CASE("choose: a tapered header's even width is the closed form, theta below 1") {
    EvenHeader even;
    even.header.depression = 150;
    even.header.area = 2600;
    even.header.end_over_start = 0.5;
    even.header.model.regain = 0.9;
    even.head = 0.25;
    check_profile(even);
}

TEST_CASE("choose: a tapered header's even width is the closed form, theta above 1") {
    EvenHeader even;
    even.header.depression = 100;
    even.header.length = 520;
    even.header.end_over_start = 0.7;
    even.header.cd = 0.7;
    even.header.model.regain = 1.1;
    even.head = 0.15;
    check_profile(even);
}

TEST_CASE("choose: a straight header's even width is the closed form, theta below 1") {
    EvenHeader even;
    even.header.depression = 200;
    even.header.model.regain = 0.8;
    even.head = 0.3;
    check_profile(even);
}
