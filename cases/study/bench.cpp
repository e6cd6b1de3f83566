#include "cases/study/bench.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/case.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "geometry/valve_area.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <iterator>
#include <numbers>
#include <tuple>
#include <utility>

namespace plenair {

bool BenchStudyResult::converged() const {
    return std::all_of(set_ups.begin(), set_ups.end(), [](const auto& s) { return s.converged; });
}

namespace {

/// Heads that flow alike on the bench: the same metal from the mouth to the valve.
bool same_head(const geometry::Runner& a, const geometry::Runner& b) {
    const auto metal = [](const geometry::Runner& r) {
        return std::tie(r.length,
                        r.port_length,
                        r.diameter.x(),
                        r.diameter.value(),
                        r.bell_radius,
                        r.entry_loss,
                        r.bend_loss,
                        r.roughness,
                        r.wall_temperature,
                        r.port_wall_temperature);
    };
    return metal(a) == metal(b);
}

/// Head of one cylinder at one lift, with its coefficients on the areas that are in use for them.
BenchResult bench_head(const Case& c, const BenchSettings& settings, int runner, double lift) {
    const geometry::Valve& valve = c.engine.intake;
    BenchParts parts{BenchSetUp::valve, runner};
    parts.head = settings.head;
    parts.valve_area = geometry::effective_area(valve, lift);
    BenchResult result = solve_bench(c.intake, settings, c.model, parts);
    ValveFlow flow;
    flow.cylinders = {
        geometry::cylinder_of(c.intake.banks.front(), static_cast<std::size_t>(runner))};
    flow.lift = lift;
    flow.lift_over_diameter = lift / valve.head;
    constexpr double pi = std::numbers::pi;
    const double curtain = valve.count * pi * valve.head * lift;
    const auto circle = [&](double bore) { return valve.count * 0.25 * pi * bore * bore; };
    // Of the set-up's own end area; from there to each other area.
    const double effective = result.cd * result.reference_area;
    // theory T30
    flow.cd_curtain = effective / curtain;
    flow.cd_seat = effective / circle(valve.throat);
    flow.cd_head = effective / circle(valve.head);
    flow.cd_valve = parts.valve_area / curtain;
    result.cd = flow.cd_curtain;
    result.reference_area = curtain;
    // One runner, named by the set-up: nothing to compare it with.
    result.flow_per_runner.clear();
    result.runners.clear();
    result.valve = std::move(flow);
    return result;
}

/// Every head at every lift; cylinders whose heads are alike share one.
std::vector<BenchResult> bench_heads(const Case& c, const BenchSettings& settings) {
    const auto& bank = c.intake.banks.front();
    std::vector<BenchResult> set_ups;
    std::vector<bool> told(bank.runners.size(), false);
    for (std::size_t r = 0; r < bank.runners.size(); ++r) {
        if (told[r]) {
            continue;
        }
        std::vector<int> alike;
        for (std::size_t other = r; other < bank.runners.size(); ++other) {
            // Behind a plenum the place of the runner counts too.
            const bool same = other == r || (settings.head != BenchHead::intake &&
                                             same_head(bank.runners[r], bank.runners[other]));
            if (same) {
                told[other] = true;
                alike.push_back(geometry::cylinder_of(bank, other));
            }
        }
        for (const double lift : settings.lifts) {
            BenchResult result = bench_head(c, settings, static_cast<int>(r), lift);
            result.valve->cylinders = alike;
            result.name = "valve " + geometry::listed(alike) + " at " +
                          geometry::format_length(lift, c.units);
            set_ups.push_back(std::move(result));
        }
    }
    return set_ups;
}

/// All set-ups of a case of one bank.
std::vector<BenchResult> bench_bank(const Case& c, bool bands) {
    const auto& bank = c.intake.banks.front();
    std::vector<BenchResult> set_ups;
    for (const auto& settings : c.bench) {
        if (settings.set_up == BenchSetUp::slot && !bank.slot) {
            continue;  // a log plenum has no insert to blow through
        }
        if (settings.set_up == BenchSetUp::valve) {
            auto heads = bench_heads(c, settings);
            std::move(heads.begin(), heads.end(), std::back_inserter(set_ups));
            continue;
        }
        if (settings.set_up == BenchSetUp::runners) {
            for (int r = 0; r < static_cast<int>(bank.runners.size()); ++r) {
                set_ups.push_back(
                    solve_bench(c.intake, settings, c.model, {BenchSetUp::runners, r}));
            }
            continue;
        }
        const BenchParts parts{settings.set_up, -1};
        BenchResult set_up = solve_bench(c.intake, settings, c.model, parts);
        if (bands) {
            const BenchBand band = bench_band(c, settings, parts, set_up);
            set_up.bias_band = band.half_width;
            set_up.notes.insert(set_up.notes.end(), band.left_out.begin(), band.left_out.end());
        }
        set_ups.push_back(std::move(set_up));
    }
    return set_ups;
}

}  // namespace

BenchStudyResult bench(const Case& c, bool bands) {
    if (c.bench.empty()) {
        throw InputError(
            {c.path + ": nothing to run on the bench; add [bench] set_ups = [\"all\"]"});
    }
    BenchStudyResult result;
    result.title = c.title;
    result.case_digest = c.digest;
    result.case_text = c.text;
    result.assumed = c.assumed;
    result.units = c.units;
    result.reference_density = c.reference_density;
    for (std::size_t i = 0; i < c.intake.banks.size(); ++i) {
        // Nobody can put two banks on one bench: each stands alone there.
        Case alone = c;
        alone.intake.banks = {c.intake.banks[i]};
        for (auto& set_up : bench_bank(alone, bands)) {
            set_up.bank = geometry::bank_name(c.intake, i);
            set_up.name = geometry::bank_prefix(set_up.bank) + set_up.name;
            result.set_ups.push_back(std::move(set_up));
        }
    }
    return result;
}

}  // namespace plenair
