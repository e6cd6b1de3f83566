#pragma once

#include "solver/ensemble/job.hpp"
#include "solver/ensemble/lane_cycle.hpp"
#include "solver/march/passive_transport.hpp"
#include "solver/network/numbers.hpp"
#include "solver/network/scratch.hpp"

#include <memory>
#include <vector>

namespace plenair {

/// The lanes of one topology that march in step.
template <class T>
class LaneGroup final {
public:
    using Table = std::shared_ptr<const CrankTable>;

    /// Every lane begins with the numbers of this network and this table. The caller keeps the
    /// network alive.
    LaneGroup(const Network& topology,
              const LaneKernels<T>& kernels,
              const Table& table,
              const std::vector<int>& trapped_steps);

    [[nodiscard]] int width() const { return kernels_.width; }
    /// Puts the numbers of a variant into a lane. @pre as many steps as the others
    void set_lane(int lane,
                  const Network& network,
                  const Table& table,
                  const std::vector<int>& trapped_steps);
    void write_state(int lane, const std::vector<double>& state);
    void read_state(int lane, std::vector<double>& state) const;
    /// One cycle of all lanes; with flows kept, `carry` may follow.
    void march(bool keep_flows);
    /// Carries still air with the flow of one lane over the last cycle. @pre flows were kept
    void carry(int lane, PassiveTransport& transport) const;
    /// After a cycle, of one lane.
    void read_trapped(int lane, std::vector<double>& fresh, std::vector<double>& mass) const;
    /// Peaks of the last cycle: Mach number in the slot, inward velocity of a mouth [m/s].
    [[nodiscard]] double slot_mach(int lane) const;
    [[nodiscard]] double mouth_peak(int mouth, int lane) const;
    [[nodiscard]] Waves waves(int lane) const;

private:
    const Network& topology_;
    const LaneKernels<T>& kernels_;
    laws::Gnielinski gnielinski_;
    LaneCrank<T> crank_;
    Numbers<T> numbers_;
    Scratch<T> work_;
    std::vector<int> trapped_steps_;
    Aligned<T> state_, start_, sum_, rate_, trapped_, trapped_mass_, speed_, flows_;
};

}  // namespace plenair
