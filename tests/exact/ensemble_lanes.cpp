#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace {

using namespace plenair;

/// The hill-climb four at its top point with slots of several widths.
class Slots final {
public:
    explicit Slots(std::size_t count, double tolerance)
        : case_(test::shipped("hill-climb-four/case.toml")), model_(case_.model) {
        model_.tolerance = tolerance;
        for (std::size_t i = 0; i < count; ++i) {
            intakes_.push_back(case_.intake);
            const double width =
                0.005 + 0.002 * static_cast<double>(i) / static_cast<double>(count);
            for (auto& piece : intakes_.back().banks.front().slot->pieces) {
                piece.width = geometry::Profile::constant(width);
            }
        }
    }

    [[nodiscard]] std::vector<Variant> variants() const {
        std::vector<Variant> all;
        for (const auto& intake : intakes_) {
            all.push_back({&intake, &model_, &case_.engine, &point()});
        }
        return all;
    }
    [[nodiscard]] std::vector<PointResult> solve(const EnsembleOptions& options) const {
        return solve(variants(), options);
    }
    [[nodiscard]] std::vector<PointResult> solve(const std::vector<Variant>& all,
                                                 const EnsembleOptions& options) const {
        return solve_ensemble(all, options);
    }
    /// The same variants in other lanes; results in their own order.
    [[nodiscard]] std::vector<PointResult> solve_backward(const EnsembleOptions& options) const {
        auto all = variants();
        std::reverse(all.begin(), all.end());
        auto results = solve(all, options);
        std::reverse(results.begin(), results.end());
        return results;
    }
    [[nodiscard]] PointResult alone(std::size_t i) const {
        CycleOptions options;
        options.min_cycles = 1;
        return solve_point(intakes_[i], case_.engine, point(), model_, options);
    }
    [[nodiscard]] const OperatingPoint& point() const { return case_.points.at(3); }

private:
    Case case_;
    Model model_;
    std::vector<geometry::Intake> intakes_;
};

double largest_difference(const PointResult& a, const PointResult& b) {
    double largest = 0.0;
    for (std::size_t c = 0; c < a.cylinders.size(); ++c) {
        largest = std::max(largest, std::abs(a.cylinders[c].bias - b.cylinders[c].bias));
    }
    return largest;
}

EnsembleOptions cold() {
    EnsembleOptions options;
    options.warm = false;
    return options;
}

}  // namespace

TEST_CASE("lanes: a variant beside others repeats what it does alone") {
    const Slots slots(11, 1e-6);
    EnsembleOptions options = cold();
    options.coarse_start = false;
    const auto beside = slots.solve(options);
    for (const std::size_t i : {0u, 5u, 10u}) {
        const PointResult alone = slots.alone(i);
        REQUIRE(beside[i].converged);
        CHECK(beside[i].cycles == alone.cycles);
        CHECK(largest_difference(beside[i], alone) < 1e-9);
        CHECK(beside[i].air_flow == near(alone.air_flow, 1e-9));
        CHECK(beside[i].slot_loss == near(alone.slot_loss, 1e-9));
        CHECK(beside[i].slot_mach == near(alone.slot_mach, 1e-9));
        CHECK(beside[i].mass_balance < 1e-12);
    }
}

TEST_CASE("lanes: neither its lane nor its company changes a bit of a variant") {
    const Slots slots(11, 3e-4);
    const auto forward = slots.solve(cold());
    const auto backward = slots.solve_backward(cold());
    for (std::size_t i = 0; i < forward.size(); ++i) {
        CHECK(forward[i].air_flow == backward[i].air_flow);
        CHECK(largest_difference(forward[i], backward[i]) == 0.0);
    }
}

// What the compiler fuses must not depend on the lane: the same variant in all of them.
TEST_CASE("lanes: every lane gives the same bits") {
    for (const std::string file : {"hill-climb-four/case.toml", "marine-six/log.toml"}) {
        CAPTURE(file);
        const Case c = test::shipped(file);
        Model model = c.model;
        model.tolerance = 1e-4;
        const std::vector<Variant> all(32, {&c.intake, &model, &c.engine, &c.points.back()});
        for (const auto precision : {Precision::float64, Precision::float32}) {
            EnsembleOptions options = cold();
            options.coarse_start = false;
            options.precision = precision;
            const auto results = solve_ensemble(all, options);
            REQUIRE(results.front().converged);
            for (const PointResult& r : results) {
                CHECK(r.air_flow == results.front().air_flow);
                CHECK(r.periodic_residual == results.front().periodic_residual);
                CHECK(largest_difference(r, results.front()) == 0.0);
            }
        }
    }
}

TEST_CASE("lanes: one that cannot converge says so and leaves the others alone") {
    const Slots slots(9, 3e-4);
    const auto whole = slots.solve(cold());
    auto variants = slots.variants();
    Model two_cycles = *variants[4].model;
    two_cycles.max_cycles = 2;
    variants[4].model = &two_cycles;
    const auto rest = slots.solve(variants, cold());
    CHECK_FALSE(rest[4].converged);
    CHECK_FALSE(rest[4].failure.empty());
    for (std::size_t i = 0; i < rest.size(); ++i) {
        if (i != 4) {
            REQUIRE(rest[i].converged);
            CHECK(largest_difference(rest[i], whole[i]) == 0.0);
        }
    }
}

TEST_CASE("lanes: wherever a variant begins, it ends within what the tolerance is worth") {
    const Slots certified(48, 1e-6);
    const Slots slots(48, 2e-4);
    constexpr double worth = 4e-4;  // of a share, at a residual of 2e-4
    EnsembleOptions options = cold();
    options.coarse_start = false;
    const auto answer = certified.solve(options);
    const auto from_rest = slots.solve(options);
    options.warm = true;
    const auto warm = slots.solve(options);
    const auto from_coarse = slots.solve(cold());
    double cycles_rest = 0.0;
    double cycles_warm = 0.0;
    for (std::size_t i = 0; i < warm.size(); ++i) {
        for (const auto& r : {from_rest[i], warm[i], from_coarse[i]}) {
            REQUIRE(r.converged);
            CHECK(largest_difference(r, answer[i]) < worth);
        }
        cycles_rest += from_rest[i].cycles;
        cycles_warm += warm[i].cycles;
    }
    CHECK(cycles_warm < 0.6 * cycles_rest);
}

TEST_CASE("lanes: single precision gives the shares of double to 0.01 %") {
    const Slots slots(16, 1e-5);
    EnsembleOptions options = cold();
    options.coarse_start = false;
    const auto full = slots.solve(options);
    options.precision = Precision::float32;
    const auto single = slots.solve(options);
    for (std::size_t i = 0; i < full.size(); ++i) {
        REQUIRE(full[i].converged);
        REQUIRE(single[i].converged);
        CHECK(largest_difference(single[i], full[i]) < 1e-4);
    }
}
