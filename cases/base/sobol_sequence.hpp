#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace plenair {

/// Points of a Sobol' sequence in the unit cube, their binary digits shifted by random ones (Owen
/// 1998, ACM TOMACS 8, 71-102, from memory): the same seed gives the same points.
class SobolSequence final {
public:
    /// @param first  number of the first point; 0 is the one of all zeros before its shift, without
    /// which 2^n points are not balanced (Owen 2020, On dropping the first Sobol' point)
    SobolSequence(std::size_t dimension, std::uint64_t seed, std::size_t first);
    ~SobolSequence();
    SobolSequence(const SobolSequence&) = delete;
    SobolSequence& operator=(const SobolSequence&) = delete;

    /// The next point, `dimension` numbers from 0 up to but not 1.
    [[nodiscard]] std::vector<double> next();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace plenair
