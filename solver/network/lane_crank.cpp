#include "solver/network/lane_crank.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <utility>

namespace plenair {

template <class T>
LaneCrank<T>::LaneCrank(const Table& common, int lanes)
    : width_(static_cast<std::size_t>(lanes)), tables_(width_, common) {}

template <class T>
void LaneCrank<T>::set_lane(int lane, Table table) {
    PLENAIR_EXPECT(lane >= 0 && static_cast<std::size_t>(lane) < width_);
    PLENAIR_EXPECT(table->step.size() == steps() && table->cylinders == this->table().cylinders);
    tables_[static_cast<std::size_t>(lane)] = std::move(table);
}

template <class T>
void LaneCrank<T>::prepare() {
    common_ = std::all_of(
        tables_.begin(), tables_.end(), [this](const Table& t) { return t == tables_.front(); });
    if (common_) {
        return;
    }
    if (numbers_.empty()) {
        columns_ = static_cast<std::size_t>(CrankColumn::count) -
                   (table().exhaust_pressure.empty() ? 1 : 0);
        const std::size_t rows = table().intake.size() * columns_;
        numbers_.assign(rows * width_, T(0));
        step_.assign(steps() * width_, T(0));
        acts_.assign(rows, 0);
        written_.resize(width_);
    }
    for (std::size_t lane = 0; lane < width_; ++lane) {
        if (written_[lane] != tables_[lane]) {
            write(lane);
        }
    }
}

template <class T>
void LaneCrank<T>::write(std::size_t lane) {
    const CrankTable& table = *tables_[lane];
    written_[lane] = tables_[lane];
    for (std::size_t k = 0; k < table.step.size(); ++k) {
        step_[k * width_ + lane] = static_cast<T>(table.step[k]);
    }
    for (std::size_t c = 0; c < columns_; ++c) {
        const auto& column = table.column(static_cast<CrankColumn>(c));
        for (std::size_t row = 0; row < column.size(); ++row) {
            const std::size_t i = row * columns_ + c;
            numbers_[i * width_ + lane] = static_cast<T>(column[row]);
            acts_[i] |= static_cast<unsigned char>(column[row] > 0.0);
        }
    }
}

template class LaneCrank<double>;
template class LaneCrank<float>;

}  // namespace plenair
