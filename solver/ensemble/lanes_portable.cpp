#include "solver/ensemble/lane_march.hpp"

namespace plenair {

const LaneKernels<double>* portable_double_lanes() {
    return lanes::table<arithmetic::Pack<double, 2, arithmetic::Isa::fast_portable>>("portable");
}

const LaneKernels<float>* portable_single_lanes() {
    return lanes::table<arithmetic::Pack<float, 4, arithmetic::Isa::fast_portable>>("portable");
}

const LaneKernels<double>& best_double_lanes(std::size_t variants) {
    const auto* wide = avx512_double_lanes();
    const auto* twins = avx512_double_twins();
    if (twins != nullptr && variants > static_cast<std::size_t>(wide->width)) {
        return *twins;
    }
    if (wide != nullptr) {
        return *wide;
    }
    const auto* half = avx2_double_lanes();
    return half != nullptr ? *half : *portable_double_lanes();
}

const LaneKernels<float>& best_single_lanes(std::size_t variants) {
    const auto* wide = avx512_single_lanes();
    const auto* twins = avx512_single_twins();
    if (twins != nullptr && variants > static_cast<std::size_t>(wide->width)) {
        return *twins;
    }
    if (wide != nullptr) {
        return *wide;
    }
    const auto* half = avx2_single_lanes();
    return half != nullptr ? *half : *portable_single_lanes();
}

}  // namespace plenair
