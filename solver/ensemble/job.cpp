#include "solver/ensemble/job.hpp"

#include "geometry/contract.hpp"

#include "solver/ensemble/warm_start.hpp"
#include "solver/march/cycle_map.hpp"

#include <algorithm>

namespace plenair {

const Network* TopologyGroup::topology() const {
    if (!waiting.empty()) {
        return &waiting.front()->network;
    }
    return finished.empty() ? nullptr : &finished.front().network;
}

double rate_of_waves(const Network& network, const Waves& waves) {
    constexpr double margin = 1.01;
    return step_rate_level(margin * fastest_rate(network, waves));
}

Waves TopologyGroup::waves() const {
    PLENAIR_EXPECT(!finished.empty());
    Waves largest = finished.front().waves;
    for (const Finished& f : finished) {
        largest.damping = std::max(largest.damping, f.waves.damping);
        for (std::size_t c = 0; c < largest.speed.size(); ++c) {
            largest.speed[c] = std::max(largest.speed[c], f.waves.speed[c]);
        }
    }
    return largest;
}

std::optional<Start> TopologyGroup::warm_start(const Job& job) const {
    if (finished.empty()) {
        return std::nullopt;
    }
    std::vector<const Finished*> near;
    for (const Finished& f : finished) {
        near.push_back(&f);
    }
    // A handful for each axis of the design holds the surface; the far ones only cost.
    const std::size_t wanted = std::min(near.size(), 4 + 4 * job.place.size());
    const auto last = near.begin() + static_cast<std::ptrdiff_t>(wanted);
    std::partial_sort(near.begin(), last, near.end(), [&](const Finished* a, const Finished* b) {
        const double to_a = squared_distance(a->place, job.place);
        const double to_b = squared_distance(b->place, job.place);
        return to_a != to_b ? to_a < to_b : a->index < b->index;
    });
    near.resize(wanted);
    std::vector<std::vector<double>> places;
    for (const Finished* f : near) {
        places.push_back(f->place);
    }
    const auto weights = spline_weights(places, job.place);
    // Of the nearest, its transport and its age; states and what they trap from the surface.
    Start start = near.front()->onward;
    const auto blend = [&](std::vector<double> Start::*member) {
        std::vector<double> sum((near.front()->onward.*member).size(), 0.0);
        for (std::size_t k = 0; k < near.size(); ++k) {
            const std::vector<double>& of = near[k]->onward.*member;
            for (std::size_t i = 0; i < sum.size() && i < of.size(); ++i) {
                sum[i] += weights[k] * of[i];
            }
        }
        return sum;
    };
    std::vector<double> state = blend(&Start::state);
    if (physical(job.network, state)) {
        start.state = std::move(state);
        start.trapped = blend(&Start::trapped);
    }
    for (const Finished& f : finished) {
        start.age = std::max(start.age, f.onward.age);
    }
    return start;
}

}  // namespace plenair
