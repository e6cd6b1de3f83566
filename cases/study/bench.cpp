#include "cases/study/bands.hpp"
#include "cases/study/study.hpp"
#include "geometry/error.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <utility>

namespace plenair {

bool BenchStudyResult::converged() const {
    return std::all_of(set_ups.begin(), set_ups.end(), [](const auto& s) { return s.converged; });
}

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
    int runners = 0;
    bool slot = false;
    for (const auto& bank : c.intake.banks) {
        runners += static_cast<int>(bank.runners.size());
        slot = slot || bank.slot.has_value();
    }
    for (const auto& settings : c.bench) {
        if (settings.set_up == BenchSetUp::slot && !slot) {
            continue;  // a log plenum has no insert to blow through
        }
        if (settings.set_up == BenchSetUp::runners) {
            for (int r = 0; r < runners; ++r) {
                result.set_ups.push_back(
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
        result.set_ups.push_back(std::move(set_up));
    }
    return result;
}

}  // namespace plenair
