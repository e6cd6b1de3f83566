#include "solver/ensemble/lane_march.hpp"

namespace plenair {

template <class T>
const LaneKernels<T>* portable_lanes() {
    constexpr std::size_t width = 16 / sizeof(T);
    return lanes::table<arithmetic::Pack<T, width, arithmetic::Isa::fast_portable>>("portable");
}

template <class T>
const LaneKernels<T>& best_lanes(std::size_t variants) {
    const auto* wide = avx512_lanes<T>();
    const auto* pairs = avx512_pairs<T>();
    const auto* half = avx2_lanes<T>();
    if (pairs != nullptr && variants > static_cast<std::size_t>(wide->width)) {
        return *pairs;
    }
    if (wide != nullptr) {
        return *wide;
    }
    return half != nullptr ? *half : *portable_lanes<T>();
}

template const LaneKernels<double>* portable_lanes();
template const LaneKernels<float>* portable_lanes();
template const LaneKernels<double>& best_lanes(std::size_t);
template const LaneKernels<float>& best_lanes(std::size_t);

}  // namespace plenair
