#include "solver/ensemble/job.hpp"

#include "solver/march/cycle_map.hpp"

namespace plenair {

namespace {

std::size_t distance(std::size_t a, std::size_t b) {
    return a > b ? a - b : b - a;
}

}  // namespace

std::optional<std::vector<double>> Family::warm_start(const Network& network,
                                                      std::size_t index) const {
    const Finished* nearest = nullptr;
    for (const Finished& f : finished) {
        if (nearest == nullptr || distance(f.index, index) < distance(nearest->index, index)) {
            nearest = &f;
        }
    }
    if (nearest == nullptr) {
        return std::nullopt;
    }
    // A second one as far again on the same side: the line through both meets a smooth path.
    for (const Finished& f : finished) {
        const bool beyond = (f.index < nearest->index) == (nearest->index < index);
        if (beyond && &f != nearest &&
            distance(f.index, nearest->index) == distance(nearest->index, index)) {
            std::vector<double> line = nearest->state;
            for (std::size_t i = 0; i < line.size(); ++i) {
                line[i] += nearest->state[i] - f.state[i];
            }
            if (physical(network, line)) {
                return line;
            }
        }
    }
    return nearest->state;
}

}  // namespace plenair
