#include "cases/study/band_sum.hpp"
#include "cases/study/bands.hpp"
#include "cases/study/case.hpp"
#include "cases/study/entry.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace plenair {

namespace {

using study::end_of;
using study::largest_move;
using study::without;

std::vector<double> over_mean(const std::vector<double>& flow) {
    double sum = 0;
    for (const double f : flow) {
        sum += f;
    }
    std::vector<double> ratio;
    for (const double f : flow) {
        ratio.push_back(f * static_cast<double>(flow.size()) / sum);
    }
    return ratio;
}

/// What a set-up says about shares: flow of its runners, else of its holes, else along its slot,
/// over the mean.
std::vector<double> shares(const BenchResult& r) {
    return over_mean(!r.flow_per_runner.empty() ? r.flow_per_runner
                     : !r.hole_flow.empty()     ? r.hole_flow
                                                : r.flow_per_length);
}

}  // namespace

BenchBand bench_band(const Case& c,
                     const BenchSettings& settings,
                     const BenchParts& parts,
                     const BenchResult& nominal) {
    if (!nominal.converged || parts.open_runner >= 0) {
        return {};
    }
    BenchBand band;
    for (const auto& entry : coefficients(c)) {
        if (entry.uses_engine) {
            continue;
        }
        double largest = 0.0;
        for (const bool high : {false, true}) {
            Moved v{c.model, c.intake, c.engine};
            entry.set(v, high ? entry.high : entry.low);
            const BenchResult r = solve_bench(v.intake, settings, v.model, parts);
            if (r.converged) {
                largest = std::max(largest, largest_move(shares(r), shares(nominal)));
            } else {
                band.left_out.push_back(without(end_of(entry.label, high)));
            }
        }
        band.half_width = std::hypot(band.half_width, largest);
    }
    for (const auto& assumption : c.assumed) {
        // Valves, crank and operating points are not on the bench.
        const std::string section = assumption.key.substr(0, assumption.key.find('.'));
        if (!assumption.end || section == "valve" || section == "engine" || section == "point") {
            continue;
        }
        double largest = 0.0;
        for (const bool high : {false, true}) {
            const auto end = assumption.end(high);
            const BenchResult r =
                end ? solve_bench(end->intake, settings, end->model, parts) : BenchResult{};
            if (r.converged) {
                largest = std::max(largest, largest_move(shares(r), shares(nominal)));
            } else {
                band.left_out.push_back(without(end_of("assumed " + assumption.key, high)));
            }
        }
        band.half_width = std::hypot(band.half_width, largest);
    }
    return band;
}

}  // namespace plenair
