#include "cases/study/sweep.hpp"

#include <algorithm>

/// How a sweep is cut into blocks; whoever reads its folder needs this and no march.
namespace plenair {

std::size_t SweepInfo::size_of(std::size_t block) const {
    return std::min(block_size, count - first_of(block));
}

std::size_t sweep_block_size(std::size_t count) {
    // Of each block the first sixteen begin from still gas: the more of others, the better.
    constexpr std::size_t few = 48, smallest = 8, fills_lanes = 64, largest = 512,
                          blocks_wanted = 32;
    std::size_t size = count <= few           ? smallest
                       : count <= fills_lanes ? fills_lanes / 2  // two threads have work
                                              : fills_lanes;
    while (size < largest && size * blocks_wanted < count) {
        size *= 2;
    }
    return size;
}

}  // namespace plenair
