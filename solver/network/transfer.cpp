#include "solver/network/transfer.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr int ghost_cells = 2;

/// Value at a place measured in cells of a chain, on the line through the two nearest of `count`
/// points that stand at offset + i.
double on_line(const double* v, int count, double place) {
    const int left = std::clamp(static_cast<int>(std::floor(place)), 0, std::max(count - 2, 0));
    if (count < 2) {
        return v[0];
    }
    // Level beyond the last centre, so that conserved quantities keep their sign.
    const double t = std::clamp(place - left, 0.0, 1.0);
    return v[left] + t * (v[left + 1] - v[left]);
}

bool same_parts(const Network& a, const Network& b) {
    const auto same = [](const Chain& x, const Chain& y) {
        return x.name == y.name && x.jet == y.jet && x.start == y.start && x.end == y.end;
    };
    return a.chains.size() == b.chains.size() && a.layout.cylinders == b.layout.cylinders &&
           std::equal(a.chains.begin(), a.chains.end(), b.chains.begin(), same);
}

void transfer_cells(const Network& from,
                    const std::vector<double>& state,
                    const Network& to,
                    std::vector<double>& result) {
    for (std::size_t c = 0; c < to.chains.size(); ++c) {
        const Chain& coarse = from.chains[c];
        const Chain& fine = to.chains[c];
        const double ratio = static_cast<double>(coarse.count) / fine.count;
        for (int block = 0; block < 4; ++block) {
            const double* v =
                &state[static_cast<std::size_t>(block * from.layout.cells + coarse.first)];
            // Ghost places too: they are read beside the cells.
            for (int i = -ghost_cells; i < fine.count + ghost_cells; ++i) {
                result[static_cast<std::size_t>(block * to.layout.cells + fine.first + i)] =
                    on_line(v, coarse.count, (i + 0.5) * ratio - 0.5);
            }
        }
        if (fine.jet) {
            // On the right faces of the cells.
            const double* v = &state[static_cast<std::size_t>(from.layout.jet() + coarse.first)];
            for (int i = 0; i + 1 < fine.count; ++i) {
                result[static_cast<std::size_t>(to.layout.jet() + fine.first + i)] =
                    std::max(on_line(v, coarse.count - 1, (i + 1.0) * ratio - 1.0), 0.0);
            }
        }
    }
}

void transfer_passages(const Network& from,
                       const std::vector<double>& state,
                       const Network& to,
                       std::vector<double>& result) {
    const auto chain_of = [](const Network& n, const Footprint& f) {
        for (std::size_t c = 0; c < n.chains.size(); ++c) {
            if (!f.weight.empty() && f.first >= n.chains[c].first &&
                f.first < n.chains[c].first + n.chains[c].count) {
                return static_cast<int>(c);
            }
        }
        return -1;
    };
    for (std::size_t p = 0; p < to.passages.size(); ++p) {
        const Passage& fine = to.passages[p];
        const Passage* nearest = nullptr;
        for (const Passage& coarse : from.passages) {
            const bool same = coarse.slot == fine.slot && coarse.source == fine.source &&
                              chain_of(from, coarse.from) == chain_of(to, fine.from) &&
                              chain_of(from, coarse.to) == chain_of(to, fine.to);
            if (same && (nearest == nullptr ||
                         std::abs(coarse.x - fine.x) < std::abs(nearest->x - fine.x))) {
                nearest = &coarse;
            }
        }
        if (nearest != nullptr) {
            const auto at = static_cast<std::size_t>(nearest - from.passages.data());
            result[static_cast<std::size_t>(to.layout.passage_flow()) + p] =
                state[static_cast<std::size_t>(from.layout.passage_flow()) + at] * fine.area /
                nearest->area;
        }
    }
}

}  // namespace

std::vector<double> transfer_state(const Network& from,
                                   const std::vector<double>& state,
                                   const Network& to) {
    PLENAIR_EXPECT(state.size() == static_cast<std::size_t>(from.layout.size()));
    if (!same_parts(from, to)) {
        return {};
    }
    std::vector<double> result(static_cast<std::size_t>(to.layout.size()), 0.0);
    transfer_cells(from, state, to, result);
    transfer_passages(from, state, to, result);
    std::copy(state.begin() + from.layout.cylinder_mass(),
              state.begin() + from.layout.periodic_size(),
              result.begin() + to.layout.cylinder_mass());
    return result;
}

}  // namespace plenair
