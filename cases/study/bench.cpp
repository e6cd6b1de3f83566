#include "cases/study/bands.hpp"
#include "cases/study/study.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <utility>

namespace plenair {

bool BenchStudyResult::converged() const {
    return std::all_of(set_ups.begin(), set_ups.end(), [](const auto& s) { return s.converged; });
}

namespace {

/// All set-ups of a case of one bank.
std::vector<BenchResult> bench_bank(const Case& c, bool bands) {
    const auto& bank = c.intake.banks.front();
    std::vector<BenchResult> set_ups;
    for (const auto& settings : c.bench) {
        if (settings.set_up == BenchSetUp::slot && !bank.slot) {
            continue;  // a log plenum has no insert to blow through
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
