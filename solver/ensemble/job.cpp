#include "solver/ensemble/job.hpp"

#include "solver/ensemble/warm_start.hpp"
#include "solver/march/cycle_map.hpp"

#include <algorithm>

namespace plenair {

const Network* Family::topology() const {
    if (!waiting.empty()) {
        return &waiting.front()->network;
    }
    return finished.empty() ? nullptr : &finished.front().network;
}

double rate_of_waves(const Network& network, const Waves& waves) {
    constexpr double margin = 1.01;
    return rate_rung(margin * fastest_rate(network, waves));
}

Waves Family::waves() const {
    Waves largest = finished.front().waves;
    for (const Finished& f : finished) {
        largest.damping = std::max(largest.damping, f.waves.damping);
        for (std::size_t c = 0; c < largest.speed.size(); ++c) {
            largest.speed[c] = std::max(largest.speed[c], f.waves.speed[c]);
        }
    }
    return largest;
}

int Family::age() const {
    int age = 0;
    for (const Finished& f : finished) {
        age = std::max(age, f.age);
    }
    return age;
}

std::optional<std::vector<double>> Family::warm_start(const Job& job) const {
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
    std::vector<double> state(near.front()->state.size(), 0.0);
    for (std::size_t k = 0; k < near.size(); ++k) {
        for (std::size_t i = 0; i < state.size(); ++i) {
            state[i] += weights[k] * near[k]->state[i];
        }
    }
    return physical(job.network, state) ? state : near.front()->state;
}

}  // namespace plenair
