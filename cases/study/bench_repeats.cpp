#include "cases/study/bench_repeats.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair::study {

namespace {

bool same_set_up(const BenchReading& a, const BenchReading& b) {
    constexpr double same_depression = 0.05;
    return a.set_up == b.set_up && a.bank == b.bank && a.runner == b.runner &&
           a.throttle_angle == b.throttle_angle &&
           std::abs(a.depression - b.depression) < same_depression * a.depression;
}

/// Isentropic effective area [m2].
double effective_area(const BenchReading& r) {
    return r.flow() / ideal_flux(r);
}

}  // namespace

std::vector<std::vector<std::size_t>> bench_repeats(const std::vector<BenchReading>& bench) {
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < bench.size(); ++i) {
        const auto group = std::find_if(groups.begin(), groups.end(), [&](const auto& g) {
            return same_set_up(bench[g.front()], bench[i]);
        });
        if (group == groups.end()) {
            groups.push_back({i});
        } else {
            group->push_back(i);
        }
    }
    return groups;
}

std::vector<std::string> bench_repeat_notes(const std::vector<BenchReading>& bench) {
    std::vector<std::string> notes;
    for (const auto& group : bench_repeats(bench)) {
        if (group.size() < 2) {
            continue;
        }
        const auto by_area = [&](std::size_t a, std::size_t b) {
            return effective_area(bench[a]) < effective_area(bench[b]);
        };
        const auto& low = bench[*std::min_element(group.begin(), group.end(), by_area)];
        const auto& high = bench[*std::max_element(group.begin(), group.end(), by_area)];
        const double apart = effective_area(high) / effective_area(low) - 1;
        notes.push_back(
            apart > low.uncertainty + high.uncertainty
                ? fmt::format(
                      "bench {}: {} readings of one set-up lie {:.1f} % apart, more than their "
                      "uncertainties of {:.1f} and {:.1f} %; find what differed (leaks, what was "
                      "open, the room's air), read again and keep the right one",
                      low.name,
                      group.size(),
                      100 * apart,
                      100 * low.uncertainty,
                      100 * high.uncertainty)
                : fmt::format("bench {}: {} readings of one set-up weigh as one, for what the "
                              "bench itself is off by does not average out",
                              low.name,
                              group.size()));
    }
    return notes;
}

}  // namespace plenair::study
