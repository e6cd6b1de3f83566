#include "cases/file/read.hpp"
#include "tests/support/near.hpp"
#include "tests/support/rig.hpp"

#include <cmath>
#include <string>

using plenair::BenchResult;
using plenair::test::run_rig;

// Throttle in the end wall of a plenum of 50 mm bore, its only runner far downstream. The momentum
// of the jet mixes out as d beta/dx = -(beta - 1)/Lm, beta = A_duct/A_jet at the throttle; momentum
// balance over a stretch without wall force gives
//   p(x) = p_end - (beta - 1) rho u^2 exp(-x/Lm)
// whose total rise is the sudden expansion of Borda and Carnot (Idelchik 2006, Diagram 4-1):
// 2 r (1 - r) jet heads regained, (1 - r)^2 lost, r = A_jet/A_duct, whatever Lm.

namespace {

constexpr double duct = 50;  // [mm]

/// Length of the plenum and of its cells [mm].
struct Plenum {
    double length = 1000, cell = 10;
};

BenchResult jet(double throttle, double mixing_length, double depression, Plenum plenum = {}) {
    plenair::test::PlainModel model;
    model.mixing_length = mixing_length;
    model.largest_cell = plenum.cell;
    return run_rig(plenair::test::source_text(depression, "all") +
                   fmt::format(R"([throttle]
bore = "{:.15g} mm"
shaft = "0 mm"
closed_angle = "0 deg"
cd = 1.0
cd_area = "open"
[plenum]
length = "{} mm"
diameter = "{} mm"
[runner]
x = "{} mm"
length = "150 mm"
diameter = "30 mm"
entry_loss = 0.4
exit_loss = 1.0
)",
                               throttle,
                               plenum.length,
                               duct,
                               plenum.length - 40) +
                   plenair::test::model_text(model));
}

double area_ratio(double throttle) {
    return throttle * throttle / (duct * duct);
}

/// Velocity head of the jet [Pa].
double jet_head(const BenchResult& r, double throttle) {
    const double area = std::acos(-1.0) / 4 * throttle * throttle * 1e-6;
    const double velocity = r.flow / (r.density * area);
    return 0.5 * r.density * velocity * velocity;
}

/// Pressure between the mixing zone and the runner [Pa].
double mixed_pressure(const BenchResult& r) {
    double sum = 0;
    int cells = 0;
    for (std::size_t i = 0; i < r.static_pressure.size(); ++i) {
        if (r.pressure_x[i] > 0.36 && r.pressure_x[i] < 0.44) {
            sum += r.static_pressure[i];
            ++cells;
        }
    }
    return sum / cells;
}

/// Static rise over the jet's head, the throttle's own fall of pressure being that head.
double recovery(double throttle, double depression) {
    const BenchResult r = jet(throttle, 2.6, depression);
    const double head = jet_head(r, throttle);
    return (mixed_pressure(r) - (101325 - head)) / head;
}

}  // namespace

TEST_CASE("jet: total rise is that of Borda and Carnot") {
    for (const double throttle : {25.0, duct / std::sqrt(2.0)}) {
        CAPTURE(throttle);
        const double r = area_ratio(throttle);
        // The change of density goes with the depression: extrapolated to none.
        const double at_rest = 2 * recovery(throttle, 1000) - recovery(throttle, 2000);
        CHECK(at_rest == near(2 * r * (1 - r), 1e-3));
    }
}

TEST_CASE("jet: pressure along the mixing zone is exponential") {
    // Cells of a quarter of the shortest mixing length: the end cell sees the third derivative. The
    // runner stands two duct bores behind the places that are compared.
    const Plenum fine{.length = 550, .cell = 5};
    for (const double mixing_length : {2.6, 3.0, 3.25, 3.5, 3.75, 4.0, 4.3}) {
        CAPTURE(mixing_length);
        const double throttle = duct / std::sqrt(2.0);
        const BenchResult result = jet(throttle, mixing_length, 1000, fine);
        const double r = area_ratio(throttle);
        const double rise = 2 * r * (1 - r) * jet_head(result, throttle);
        const double length = mixing_length * 0.5 * (duct - throttle) * 1e-3;
        const double end = mixed_pressure(result);
        for (std::size_t i = 0; i < 80; ++i) {
            CAPTURE(i);
            const double half = 0.0025;
            // Mean of the exponential over the cell.
            const double mean =
                std::exp(-result.pressure_x[i] / length) * std::sinh(half / length) * length / half;
            CHECK((end - result.static_pressure[i]) / rise == near(mean, 0, 5e-3));
        }
    }
}

TEST_CASE("jet: pressure at the closed end does not depend on the mixing length") {
    const double throttle = duct / std::sqrt(2.0);
    const auto at_end = [&](double mixing_length) {
        return 101325 - jet(throttle, mixing_length, 1000).static_pressure.back();
    };
    const double middle = at_end(3.5);
    CHECK(at_end(2.6) == near(middle, 5e-3));
    CHECK(at_end(4.3) == near(middle, 5e-3));
}

TEST_CASE("jet: a throttle as wide as its chamber leaves the closed form of the header") {
    // beta = 1: no jet. m = Cd As/A = 0.5052, theta 1: inlet/mean m/tan m, closed/mean m/sin m
    // (Acrivos, Babcock, Pigford 1959).
    plenair::test::SlotHeader header;
    std::string text = header.text();
    const std::string feed = "feed = \"open\"\n";
    text.erase(text.find(feed), feed.size());
    text.replace(text.find("jet = \"off\""), 11, "jet = \"on\"");
    const double bore = std::sqrt(4 * header.area / std::acos(-1.0));
    text += fmt::format(
        "[throttle]\nbore = \"{:.12f} mm\"\nshaft = \"0 mm\"\nclosed_angle = \"0 deg\"\ncd = 1.0\n"
        "cd_area = \"open\"\n",
        bore);
    const auto flow = plenair::test::over_mean(run_rig(text).flow_per_length);
    const double m = header.area_ratio();
    CHECK(plenair::test::at_start(flow) == near(m / std::tan(m), 1e-3));
    CHECK(plenair::test::at_end(flow) == near(m / std::sin(m), 1e-3));
}

TEST_CASE("jet: what the mixing length does to the first runner stands in the band") {
    const std::string text = plenair::test::source_text(1000, "all") + R"([throttle]
bore = "30 mm"
shaft = "0 mm"
cd = 1.0
cd_area = "open"
[plenum]
length = "400 mm"
diameter = "50 mm"
[runner]
x = "50, 150, 250, 350 mm"
length = "150 mm"
diameter = "25 mm"
entry_loss = 0.4
exit_loss = 4
)";
    const auto first = [&text](double mixing_length) {
        const std::string model = fmt::format("[model]\nmixing_length = {}\n", mixing_length);
        return plenair::test::over_mean(run_rig(text + model).flow_per_runner).front();
    };
    const double move = std::abs(first(4.3) - first(2.6));
    CHECK(move > 2e-3);
    const auto study = plenair::bench(plenair::parse_case(text, "rig.toml", {}), true);
    CHECK(study.set_ups.front().bias_band >= 0.5 * move);
}
