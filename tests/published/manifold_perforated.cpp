#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

using plenair::BenchResult;
using plenair::test::over_mean;
using plenair::test::run_rig;
using plenair::test::spread;

// Twelve stations of rectangular outlets along a wooden air duct: El Moueddeb K., Barrington S.,
// Barthakur N. 1997, J. agric. Engng Res. 68, 29-37. Discharge coefficient 0.65 constant along the
// duct, regain coefficient 1, outlets driven by the static pressure just ahead of them. The rows
// are that model solved station by station (q = 0.65 A sqrt(2p), dp = (u^2 - u'^2)/2), without
// friction and with f L/D = 0.9 over the duct.

namespace {

constexpr int stations = 12;
constexpr double pitch = 610;  // [mm]
constexpr double duct_area = 168200;  // [mm2], by the printed dimensions

std::string duct(double aperture_ratio, double friction) {
    constexpr double length = stations * pitch;
    constexpr double hole = 280;  // [mm] along the duct: several cells, as the law needs
    std::string places;
    for (int i = 0; i < stations; ++i) {
        places += fmt::format("{}{}", i == 0 ? "" : ", ", (i + 0.5) * pitch);
    }
    plenair::test::PlainModel model;
    model.darcy = friction * std::sqrt(4 * duct_area / std::acos(-1.0)) / length;
    model.largest_cell = pitch / 8;
    return plenair::test::source_text(200, "slot") +
           fmt::format(R"([pre_chamber]
length = "{} mm"
area = "{} mm2"
feed = "open"
[slot]
cd = 0.65
[slot.holes]
x = "{} mm"
length = "{} mm"
width = "{:.12f} mm"
)",
                       length,
                       duct_area,
                       places,
                       hole,
                       duct_area * aperture_ratio / stations / hole) +
           plenair::test::model_text(model);
}

/// 100 (1 - mean |q - mean q| / mean q)
double uniformity(const std::vector<double>& flow) {
    double sum = 0;
    for (const double v : flow) {
        sum += std::abs(v - 1);
    }
    return 100 * (1 - sum / static_cast<double>(flow.size()));
}

/// Static pressure ahead of the first outlets over the velocity head there: nothing is lost between
/// the source and them, so total pressure less one head is left.
double inlet_pressure(const BenchResult& r) {
    const double u = r.flow / (r.density * duct_area * 1e-6);
    return r.depression / (0.5 * r.density * u * u) - 1;
}

struct Row {
    double aperture_ratio, friction, first, last, spread, uniformity;
};

void check_row(const Row& row) {
    CAPTURE(row.aperture_ratio);
    const BenchResult result = run_rig(duct(row.aperture_ratio, row.friction));
    const auto flow = over_mean(result.hole_flow);
    REQUIRE(flow.size() == stations);
    CHECK(flow.front() == near(row.first, 5e-3));
    CHECK(flow.back() == near(row.last, 5e-3));
    CHECK(100 * spread(flow) == near(row.spread, 0, 0.5));
    CHECK(uniformity(flow) == near(row.uniformity, 0, 0.5));
}

}  // namespace

TEST_CASE("perforated duct: twelve outlets without friction") {
    check_row({0.5, 0, 0.967, 1.020, 5.3, 98.5});
    check_row({1.0, 0, 0.866, 1.081, 21.5, 94.0});
    check_row({2.0, 0, 0.449, 1.367, 91.8, 73.8});
}

TEST_CASE("perforated duct: twelve outlets with friction") {
    check_row({0.5, 0.9, 0.977, 1.016, 3.8, 98.9});
    check_row({1.0, 0.9, 0.910, 1.063, 15.3, 95.6});
    check_row({2.0, 0.9, 0.680, 1.263, 58.3, 82.7});
}

TEST_CASE("perforated duct: pressure that a given flow needs ahead of the outlets") {
    CHECK(inlet_pressure(run_rig(duct(0.5, 0))) == near(8.85, 5e-3));
    CHECK(inlet_pressure(run_rig(duct(1.0, 0))) == near(1.78, 5e-3));
    CHECK(inlet_pressure(run_rig(duct(2.0, 0))) == near(0.12, 0, 5e-3));
}
