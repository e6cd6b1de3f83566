#include "solver/ensemble/lane_group.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

template <class T>
LaneGroup<T>::LaneGroup(const Network& topology,
                        const LaneKernels<T>& kernels,
                        const Table& table,
                        const std::vector<int>& trapped_steps)
    : topology_(topology),
      kernels_(kernels),
      gnielinski_(topology.gas.prandtl),
      crank_(table, kernels.width),
      numbers_(topology, kernels.width),
      work_(topology, kernels.width) {
    PLENAIR_EXPECT(trapped_steps.size() == static_cast<std::size_t>(topology.layout.cylinders));
    const auto width = static_cast<std::size_t>(kernels.width);
    const std::size_t size = static_cast<std::size_t>(topology.layout.size()) * width;
    for (auto* v : {&state_, &start_, &sum_, &rate_}) {
        v->assign(size, T(0));
    }
    const std::size_t cylinders = static_cast<std::size_t>(topology.layout.cylinders) * width;
    trapped_.assign(cylinders, T(0));
    trapped_mass_.assign(cylinders, T(0));
    speed_.assign(topology.chains.size() * width, T(0));
    trapped_steps_.resize(cylinders);
    for (std::size_t i = 0; i < cylinders; ++i) {
        trapped_steps_[i] = trapped_steps[i / width];
    }
}

template <class T>
void LaneGroup<T>::set_lane(int lane,
                            const Network& network,
                            const Table& table,
                            const std::vector<int>& trapped_steps) {
    PLENAIR_EXPECT(same_topology(topology_, network));
    PLENAIR_EXPECT(trapped_steps.size() == static_cast<std::size_t>(topology_.layout.cylinders));
    numbers_.set_lane(lane, network);
    crank_.set_lane(lane, table);
    for (std::size_t c = 0; c < trapped_steps.size(); ++c) {
        trapped_steps_[c * static_cast<std::size_t>(kernels_.width) +
                       static_cast<std::size_t>(lane)] = trapped_steps[c];
    }
}

template <class T>
void LaneGroup<T>::write_state(int lane, const std::vector<double>& state) {
    PLENAIR_EXPECT(lane >= 0 && lane < kernels_.width);
    PLENAIR_EXPECT(state.size() == static_cast<std::size_t>(topology_.layout.size()));
    const auto width = static_cast<std::size_t>(kernels_.width);
    for (std::size_t i = 0; i < state.size(); ++i) {
        state_[i * width + static_cast<std::size_t>(lane)] = static_cast<T>(state[i]);
    }
}

template <class T>
void LaneGroup<T>::read_state(int lane, std::vector<double>& state) const {
    const auto width = static_cast<std::size_t>(kernels_.width);
    state.resize(state_.size() / width);
    for (std::size_t i = 0; i < state.size(); ++i) {
        state[i] = static_cast<double>(state_[i * width + static_cast<std::size_t>(lane)]);
    }
}

template <class T>
void LaneGroup<T>::march(bool keep_flows) {
    const Layout& layout = topology_.layout;
    const std::size_t rows = (crank_.steps() + 1) / 2;
    const auto row = static_cast<std::size_t>(2 * layout.cells + layout.passages);
    if (keep_flows) {
        flows_.resize(rows * row * static_cast<std::size_t>(kernels_.width));
    }
    for (auto* v : {&work_.damping, &work_.slot_mach_square, &work_.mouth_peak, &speed_}) {
        std::fill(v->begin(), v->end(), T(0));
    }
    crank_.prepare();
    kernels_.cycle({&topology_,
                    &crank_,
                    &numbers_,
                    &work_,
                    &gnielinski_,
                    trapped_steps_.data(),
                    state_.data(),
                    start_.data(),
                    sum_.data(),
                    rate_.data(),
                    trapped_.data(),
                    trapped_mass_.data(),
                    keep_flows ? flows_.data() : nullptr,
                    speed_.data()});
}

template <class T>
void LaneGroup<T>::read_trapped(int lane,
                                std::vector<double>& fresh,
                                std::vector<double>& mass) const {
    const auto width = static_cast<std::size_t>(kernels_.width);
    fresh.resize(trapped_.size() / width);
    mass.resize(fresh.size());
    for (std::size_t c = 0; c < fresh.size(); ++c) {
        const std::size_t i = c * width + static_cast<std::size_t>(lane);
        fresh[c] = static_cast<double>(trapped_[i]);
        mass[c] = static_cast<double>(trapped_mass_[i]);
    }
}

template <class T>
void LaneGroup<T>::carry(int lane, PassiveTransport& transport) const {
    const Layout& layout = topology_.layout;
    const auto width = static_cast<std::size_t>(kernels_.width);
    const auto cells = static_cast<std::size_t>(2 * layout.cells);
    const auto passages = static_cast<std::size_t>(layout.passages);
    const std::vector<double>& steps = crank_.table(lane).step;
    std::vector<double> state(static_cast<std::size_t>(layout.size()), 0.0);
    PLENAIR_EXPECT(flows_.size() == (steps.size() + 1) / 2 * (cells + passages) * width);
    const T* from = flows_.data() + lane;
    for (std::size_t k = 0; k < steps.size(); k += 2) {
        for (std::size_t i = 0; i < cells; ++i, from += width) {
            state[i] = static_cast<double>(*from);
        }
        for (std::size_t i = 0; i < passages; ++i, from += width) {
            state[static_cast<std::size_t>(layout.passage_flow()) + i] = static_cast<double>(*from);
        }
        transport.carry(state, k + 1 < steps.size() ? steps[k] + steps[k + 1] : steps[k]);
    }
}

template <class T>
Waves LaneGroup<T>::waves(int lane) const {
    const auto width = static_cast<std::size_t>(kernels_.width);
    const auto first = static_cast<std::size_t>(lane);
    Waves waves{{}, static_cast<double>(work_.damping[first])};
    for (std::size_t i = first; i < speed_.size(); i += width) {
        waves.speed.push_back(static_cast<double>(speed_[i]));
    }
    return waves;
}

template <class T>
double LaneGroup<T>::slot_mach(int lane) const {
    return std::sqrt(static_cast<double>(work_.slot_mach_square[static_cast<std::size_t>(lane)]));
}

template <class T>
double LaneGroup<T>::mouth_peak(int mouth, int lane) const {
    return static_cast<double>(
        work_.mouth_peak[static_cast<std::size_t>(mouth * kernels_.width + lane)]);
}

template class LaneGroup<double>;
template class LaneGroup<float>;

}  // namespace plenair
