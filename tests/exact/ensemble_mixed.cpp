#include "solver/ensemble/ensemble.hpp"
#include "solver/ensemble/lane_group.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/periodic_iteration.hpp"
#include "solver/network/builder.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <deque>
#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace {

using namespace plenair;

constexpr double degree = 0.017453292519943295;

/// Variants of a shipped case that differ in engine, operating point and gas.
class Mixed final {
public:
    explicit Mixed(const std::string& file, double tolerance) : case_(test::shipped(file)) {
        model_ = case_.model;
        model_.tolerance = tolerance;
    }

    /// Another one like the case at its fastest point, to be changed; stays where it is.
    void add(const std::string& name,
             const std::function<void(geometry::Engine&, OperatingPoint&)>& change) {
        names.push_back(name);
        geometry::Engine engine = case_.engine;
        OperatingPoint point = *std::max_element(
            case_.points.begin(), case_.points.end(), [](const auto& a, const auto& b) {
                return a.speed < b.speed;
            });
        change(engine, point);
        engines_.push_back(std::move(engine));
        points_.push_back(std::move(point));
    }

    [[nodiscard]] std::vector<Variant> variants() const {
        std::vector<Variant> all;
        for (std::size_t i = 0; i < engines_.size(); ++i) {
            all.push_back({&case_.intake, &model_, &engines_[i], &points_[i]});
        }
        return all;
    }
    [[nodiscard]] PointResult alone(std::size_t i, const std::vector<StepPlan>& plans) const {
        CycleOptions options;
        options.min_cycles = 1;
        options.plans = plans;
        return solve_point(case_.intake, engines_[i], points_[i], model_, options);
    }

    std::vector<std::string> names;

private:
    Case case_;
    Model model_;
    std::deque<geometry::Engine> engines_;
    std::deque<OperatingPoint> points_;
};

void shift(geometry::Valve& valve, double angle) {
    valve.opens += angle;
    valve.closes += angle;
}

void add_all(Mixed& mixed) {
    mixed.add("as shipped", [](auto&, auto&) {});
    mixed.add("slower", [](auto&, auto& p) { p.speed *= 0.97; });
    mixed.add("slower still", [](auto&, auto& p) { p.speed *= 0.93; });
    mixed.add("intake cam advanced", [](auto& e, auto&) { shift(e.intake, -6.0 * degree); });
    mixed.add("exhaust cam retarded", [](auto& e, auto&) { shift(e.exhaust, 5.0 * degree); });
    mixed.add("longer intake cam", [](auto& e, auto&) {
        e.intake.opens -= 7.0 * degree;
        e.intake.closes += 9.0 * degree;
    });
    mixed.add("high ground", [](auto&, auto& p) {
        p.pressure *= 0.8;
        p.exhaust_pressure *= 0.8;
        p.temperature -= 15.0;
    });
    mixed.add("hot and damp", [](auto&, auto& p) {
        p.temperature += 20.0;
        p.humidity_ratio = 0.02;
    });
    mixed.add("rich, hot exhaust", [](auto&, auto& p) {
        p.combustion.lambda = 0.86;
        p.exhaust_temperature += 150.0;
    });
    mixed.add("other cylinders", [](auto& e, auto&) {
        e.bore *= 1.02;
        e.stroke *= 0.97;
        e.compression_ratio += 1.0;
        e.exhaust_port = 0.04;
    });
    mixed.add("late spark", [](auto&, auto& p) { p.combustion.start += 8.0 * degree; });
}

double largest_difference(const PointResult& a, const PointResult& b) {
    double largest = 0.0;
    for (std::size_t c = 0; c < a.cylinders.size(); ++c) {
        largest = std::max(largest, std::abs(a.cylinders[c].bias - b.cylinders[c].bias));
    }
    return largest;
}

/// What a lane of its own needs of each variant, all with equally many steps.
class Marched final {
public:
    explicit Marched(const std::vector<Variant>& variants) {
        std::vector<StepPlan> plans;
        int most = 0;
        for (const Variant& v : variants) {
            Network& n =
                networks_.emplace_back(build_engine(*v.intake, *v.engine, *v.point, *v.model));
            n.crank = make_crank_table(*v.engine, *v.point, first_table_step(*v.point));
            states_.push_back(initial_state(n));
            const double rate = 1.5 * expected_rate(n, states_.back(), *v.point);
            plans.push_back(plan_steps(*v.engine, *v.point, 1.0 / rate));
            most = std::max(most, plans.back().total());
        }
        for (std::size_t i = 0; i < variants.size(); ++i) {
            const Variant& v = variants[i];
            plans[i].refine(most);
            tables_.push_back(std::make_shared<const CrankTable>(
                make_crank_table(*v.engine, *v.point, plans[i])));
            trapped_.push_back(trapped_steps(*v.engine, *v.point, *tables_.back()));
        }
    }

    [[nodiscard]] std::size_t count() const { return networks_.size(); }
    /// States after two cycles from still gas, `of` telling which variant a lane holds.
    template <class T>
    [[nodiscard]] std::vector<std::vector<double>> march(
        const LaneKernels<T>& kernels, const std::function<std::size_t(int)>& of) const {
        const std::size_t first = of(0);
        LaneGroup<T> group(networks_[first], kernels, tables_[first], trapped_[first]);
        for (int lane = 0; lane < kernels.width; ++lane) {
            const std::size_t i = of(lane);
            group.set_lane(lane, networks_[i], tables_[i], trapped_[i]);
            group.write_state(lane, states_[i]);
        }
        group.march(false);
        group.march(true);
        std::vector<std::vector<double>> states(static_cast<std::size_t>(kernels.width));
        for (int lane = 0; lane < kernels.width; ++lane) {
            group.read_state(lane, states[static_cast<std::size_t>(lane)]);
        }
        return states;
    }

private:
    std::deque<Network> networks_;
    std::vector<std::vector<double>> states_;
    std::vector<std::shared_ptr<const CrankTable>> tables_;
    std::vector<std::vector<int>> trapped_;
};

/// Each variant in all lanes, then among others in several orders. @returns the states of the first
template <class T>
std::vector<std::vector<double>> check_neighbours(const Marched& marched,
                                                  const LaneKernels<T>& kernels) {
    CAPTURE(std::string(kernels.name));
    std::vector<std::vector<double>> alone;
    for (std::size_t v = 0; v < marched.count(); ++v) {
        CAPTURE(v);
        const auto all = marched.march<T>(kernels, [v](int) { return v; });
        REQUIRE(std::all_of(
            all.front().begin(), all.front().end(), [](double x) { return std::isfinite(x); }));
        for (const auto& state : all) {
            CHECK(state == all.front());
        }
        alone.push_back(all.front());
    }
    for (const std::size_t offset : {0u, 1u, 6u}) {
        CAPTURE(offset);
        const auto of = [&](int lane) {
            return (3 * static_cast<std::size_t>(lane) + offset) % marched.count();
        };
        const auto mixed = marched.march<T>(kernels, of);
        for (int lane = 0; lane < kernels.width; ++lane) {
            CAPTURE(lane);
            CHECK(mixed[static_cast<std::size_t>(lane)] == alone[of(lane)]);
        }
    }
    return alone;
}

template <class T>
void check_all_lanes(const Marched& marched) {
    check_neighbours<T>(marched, *portable_lanes<T>());
    if (const auto* lanes = avx2_lanes<T>()) {
        check_neighbours<T>(marched, *lanes);
    }
    const auto* lanes = avx512_lanes<T>();
    const auto* pairs = avx512_pairs<T>();
    if (lanes != nullptr && pairs != nullptr) {
        CHECK(check_neighbours<T>(marched, *lanes) == check_neighbours<T>(marched, *pairs));
    }
}

EnsembleOptions cold() {
    EnsembleOptions options;
    options.warm = false;
    options.coarse_start = false;
    return options;
}

}  // namespace

TEST_CASE("lanes: own engine, point and gas in each lane repeat what each does alone") {
    for (const std::string file : {"hill-climb-four/case.toml", "v6-bank/case.toml"}) {
        CAPTURE(file);
        Mixed mixed(file, 1e-6);
        add_all(mixed);
        std::vector<std::vector<StepPlan>> plans;
        EnsembleOptions options = cold();
        options.plans = &plans;
        const auto beside = solve_ensemble(mixed.variants(), options);
        for (std::size_t i = 0; i < beside.size(); ++i) {
            CAPTURE(mixed.names[i]);
            const PointResult alone = mixed.alone(i, plans[i]);
            REQUIRE(beside[i].converged);
            CHECK(beside[i].cycles == alone.cycles);
            CHECK(largest_difference(beside[i], alone) < 1e-9);
            CHECK(beside[i].air_flow == near(alone.air_flow, 1e-9));
            CHECK(beside[i].volumetric_efficiency == near(alone.volumetric_efficiency, 1e-9));
            CHECK(beside[i].throttle_loss == near(alone.throttle_loss, 1e-9));
            CHECK(beside[i].port_loss == near(alone.port_loss, 1e-8));
            CHECK(beside[i].inlet_mach_index == near(alone.inlet_mach_index, 1e-9));
            CHECK(beside[i].cylinders.front().residual_fraction ==
                  near(alone.cylinders.front().residual_fraction, 1e-9));
            CHECK(beside[i].mass_balance < 1e-12);
        }
    }
}

TEST_CASE("lanes: the order of other engines and points changes no bit of a variant") {
    Mixed mixed("hill-climb-four/case.toml", 3e-4);
    add_all(mixed);
    auto variants = mixed.variants();
    const auto forward = solve_ensemble(variants, cold());
    std::reverse(variants.begin(), variants.end());
    auto backward = solve_ensemble(variants, cold());
    std::reverse(backward.begin(), backward.end());
    for (std::size_t i = 0; i < forward.size(); ++i) {
        CAPTURE(mixed.names[i]);
        REQUIRE(forward[i].converged);
        CHECK(forward[i].air_flow == backward[i].air_flow);
        CHECK(largest_difference(forward[i], backward[i]) == 0.0);
    }
}

// Whatever stands in the other lanes, valves open there that are shut here, air that flows the
// other way: nothing of it may choose between two roundings. Pairs of packs and packs alone agree
// too.
TEST_CASE("lanes: the company of a lane changes no bit of its state") {
    for (const std::string file : {"hill-climb-four/case.toml", "marine-six/log.toml"}) {
        CAPTURE(file);
        Mixed mixed(file, 3e-4);
        add_all(mixed);
        const Marched marched(mixed.variants());
        check_all_lanes<double>(marched);
        check_all_lanes<float>(marched);
    }
}

// Speeds far apart need other numbers of steps: no lane takes many more than it needs.
TEST_CASE("lanes: a curve over speed costs no lane more than a seventh of its steps") {
    Mixed mixed("hill-climb-four/case.toml", 3e-4);
    for (int i = 0; i < 24; ++i) {
        mixed.add(std::to_string(i),
                  [i](auto&, OperatingPoint& p) { p.speed *= 0.4 + 0.6 * i / 23.0; });
    }
    std::vector<std::vector<StepPlan>> plans;
    EnsembleOptions options;
    options.plans = &plans;
    const auto variants = mixed.variants();
    const auto results = solve_ensemble(variants, options);
    int most = 0;
    int least = 1 << 20;
    for (std::size_t i = 0; i < results.size(); ++i) {
        CAPTURE(variants[i].point->speed);
        REQUIRE(results[i].converged);
        most = std::max(most, plans[i].back().total());
        least = std::min(least, plans[i].back().total());
        // Nothing is left out, nothing twice: the steps are those of one cycle.
        CHECK(plans[i].back().edges.back() == near(4.0 * 3.14159265358979324, 1e-14));
        // Waves take so many steps a second whatever the speed.
        const double rate = plans[i].back().total() * variants[i].point->speed;
        const double slowest = plans.back().back().total() * variants.back().point->speed;
        CHECK(rate < 1.25 * slowest);
    }
    CHECK(2 * most > 3 * least);
}
