#pragma once

#include "solver/network/network.hpp"
#include "solver/network/numbers.hpp"

#include <cstddef>
#include <memory>
#include <vector>

namespace plenair {

/// Crank tables of several variants side by side. Every lane has its own engine, speed and lengths
/// of steps; what they share is the number of steps in a cycle, so that they march in step while
/// their valves may move at other angles. While all lanes have the same table it is read from there
/// and nothing is copied.
template <class T>
class LaneCrank final {
public:
    using Table = std::shared_ptr<const CrankTable>;

    /// Every lane has this table.
    LaneCrank(const Table& common, int lanes);

    /// @pre as many steps and cylinders as the other tables have
    void set_lane(int lane, Table table);
    /// Before a march: copies the tables of the lanes that have changed.
    void prepare();

    [[nodiscard]] bool is_common() const { return common_; }
    /// The one table of all lanes, or the first lane's.
    [[nodiscard]] const CrankTable& table() const { return *tables_.front(); }
    [[nodiscard]] const CrankTable& table(int lane) const {
        return *tables_[static_cast<std::size_t>(lane)];
    }
    [[nodiscard]] std::size_t steps() const { return table().step.size(); }

    // Where the lanes differ, the lane as innermost index.
    /// Length of a step, one number a lane [s].
    [[nodiscard]] const T* step(std::size_t k) const { return &step_[k * width_]; }
    /// A column at a row of the table (node x cylinders + cylinder), one number a lane.
    [[nodiscard]] const T* at(CrankColumn column, std::size_t row) const {
        return &numbers_[(row * columns_ + static_cast<std::size_t>(column)) * width_];
    }
    /// Whether it may be above zero in any lane; where it says so wrongly the numbers are zeros.
    [[nodiscard]] bool acts(CrankColumn column, std::size_t row) const {
        return acts_[row * columns_ + static_cast<std::size_t>(column)] != 0;
    }

private:
    void write(std::size_t lane);

    std::size_t width_;
    /// Without the last one where no exhaust pressure varies: all of them pass once a cycle.
    std::size_t columns_ = static_cast<std::size_t>(CrankColumn::count);
    std::vector<Table> tables_;
    std::vector<Table> written_;  ///< what the arrays hold
    bool common_ = true;
    Aligned<T> numbers_, step_;
    std::vector<unsigned char> acts_;
};

}  // namespace plenair
