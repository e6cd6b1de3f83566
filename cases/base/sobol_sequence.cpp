#include "cases/base/sobol_sequence.hpp"

#include <boost/random/sobol.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

namespace plenair {

struct SobolSequence::State {
    explicit State(std::size_t dimension) : digits(dimension), shifts(dimension) {}

    boost::random::sobol digits;  // begins after the point of all zeros
    std::vector<std::uint64_t> shifts;
    bool zero = false;  // that point is next
};

SobolSequence::SobolSequence(std::size_t dimension, std::uint64_t seed, std::size_t first)
    : state_(std::make_unique<State>(dimension)) {
    std::mt19937_64 random(seed);
    std::generate(state_->shifts.begin(), state_->shifts.end(), std::ref(random));
    state_->zero = first == 0;
    state_->digits.discard((first == 0 ? 0 : first - 1) * dimension);
}

SobolSequence::~SobolSequence() = default;

std::vector<double> SobolSequence::next() {
    constexpr int unused_bits = 11;  // of 64, beyond a double's 53
    std::vector<double> point;
    point.reserve(state_->shifts.size());
    for (const std::uint64_t shift : state_->shifts) {
        const std::uint64_t digits = state_->zero ? 0 : state_->digits();
        point.push_back(std::ldexp(static_cast<double>((digits ^ shift) >> unused_bits), -53));
    }
    state_->zero = false;
    return point;
}

}  // namespace plenair
