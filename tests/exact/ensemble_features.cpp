#include "solver/ensemble/ensemble.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <cstddef>
#include <string>
#include <vector>

// Lanes give what the one-variant solver gives, whatever a case has: the same cycles, to 1e-9.

namespace {

using namespace plenair;

struct Row {
    std::string what, file;
    std::vector<std::string> sets;
};

const std::string four = "cases/shipped/hill-climb-four/case.toml";
const std::string layouts = "tests/behaviour/layouts/";

std::vector<Row> rows() {
    return {
        {"two chambers and a slot", four, {}},
        {"a slot that narrows", four, {"slot.width={ x = \"0, 388 mm\", value = \"7, 5 mm\" }"}},
        {"a slot of a stated coefficient", four, {"slot.cd=0.8"}},
        {"a plenum that narrows",
         four,
         {"plenum.area={ x = \"0, 400 mm\", value = \"7000, 5000 mm2\" }"}},
        {"a row of holes", layouts + "six-holes.toml", {}},
        {"one throttle to each part", layouts + "four-two-throttles.toml", {}},
        {"one plenum", layouts + "one-log.toml", {}},
        {"fed at the side", layouts + "five-side.toml", {}},
        {"fed at the far end", layouts + "three-far.toml", {}},
        {"fed at the middle", layouts + "two-centre.toml", {}},
        {"two banks with plenums of their own", layouts + "v2-two-banks.toml", {}},
        {"two banks on one plenum", layouts + "v6-shared.toml", {}},
        {"two banks that face each other", layouts + "v8-opposed.toml", {}},
        {"the law of tees", four, {"model.mouth_law=tee"}},
        {"no jet", four, {"model.jet=off"}},
        {"another regain", four, {"model.regain=0.9", "model.crossflow_loss=0.6"}},
        {"no friction", four, {"model.friction=off"}},
        {"rough walls", four, {"model.friction=20 um"}},
        {"warm walls", four, {"plenum.wall_temperature=360 K", "runner.wall_temperature=380 K"}},
        {"no heat to walls", four, {"model.wall_heat=off"}},
        {"motored", four, {"combustion.motored=on"}},
        {"coarse cells", four, {"model.cells=coarse"}},
        {"fine cells", four, {"model.cells=fine"}},
        {"cells of a length", four, {"model.cells=largest cell 40 mm"}},
        {"a plate that throttles", four, {"point.A4.throttle_angle=40 deg"}},
    };
}

}  // namespace

TEST_CASE("lanes: every feature of a case repeats what the one-variant solver gives") {
    for (const Row& row : rows()) {
        CAPTURE(row.what);
        Case c = read_case(row.file, row.sets);
        c.model.tolerance = 1e-4;
        OperatingPoint fast = c.points.back();
        for (const OperatingPoint& point : c.points) {
            if (point.speed > fast.speed || point.name == "A4") fast = point;
        }
        OperatingPoint slow = fast;
        slow.speed *= 0.97;
        const std::vector<const OperatingPoint*> points = {&fast, &slow};
        std::vector<Variant> variants;
        for (const OperatingPoint* point : points) {
            variants.push_back({&c.intake, &c.model, &c.engine, point});
        }
        std::vector<std::vector<StepPlan>> plans;
        EnsembleOptions options;
        options.warm = options.coarse_start = false;
        options.plans = &plans;
        const auto beside = solve_ensemble(variants, options);
        for (std::size_t i = 0; i < beside.size(); ++i) {
            CAPTURE(i);
            CycleOptions one;
            one.min_cycles = 1;
            one.plans = plans[i];
            const PointResult alone = solve_point(c.intake, c.engine, *points[i], c.model, one);
            REQUIRE_MESSAGE(beside[i].converged, beside[i].failure);
            REQUIRE_MESSAGE(alone.converged, alone.failure);
            CHECK(beside[i].cycles == alone.cycles);
            CHECK(beside[i].air_flow == near(alone.air_flow, 1e-9));
            CHECK(beside[i].throttle_loss == near(alone.throttle_loss, 1e-8, 1e-6));
            CHECK(beside[i].slot_loss == near(alone.slot_loss, 1e-8, 1e-6));
            CHECK(beside[i].port_loss == near(alone.port_loss, 1e-8, 1e-6));
            REQUIRE(beside[i].cylinders.size() == alone.cylinders.size());
            for (std::size_t k = 0; k < alone.cylinders.size(); ++k) {
                CAPTURE(k);
                CHECK(beside[i].cylinders[k].bias == near(alone.cylinders[k].bias, 0, 1e-9));
                CHECK(beside[i].cylinders[k].residual_fraction ==
                      near(alone.cylinders[k].residual_fraction, 1e-8));
            }
        }
    }
}
