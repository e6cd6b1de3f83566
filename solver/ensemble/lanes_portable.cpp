#include "solver/ensemble/lane_march.hpp"

namespace plenair {

const LaneKernels<double>* portable_double_lanes() {
    return lanes::table<arithmetic::Pack<double, 2, arithmetic::Isa::fast_portable>>("portable");
}

const LaneKernels<float>* portable_single_lanes() {
    return lanes::table<arithmetic::Pack<float, 4, arithmetic::Isa::fast_portable>>("portable");
}

namespace {

template <class T>
struct Lanes {
    const LaneKernels<T>*wide, *twins, *half, *portable;
};

template <class T>
const LaneKernels<T>& best(const Lanes<T>& lanes, std::size_t variants) {
    if (lanes.twins != nullptr && variants > static_cast<std::size_t>(lanes.wide->width)) {
        return *lanes.twins;
    }
    if (lanes.wide != nullptr) {
        return *lanes.wide;
    }
    return lanes.half != nullptr ? *lanes.half : *lanes.portable;
}

}  // namespace

const LaneKernels<double>& best_double_lanes(std::size_t variants) {
    return best<double>({avx512_double_lanes(),
                         avx512_double_twins(),
                         avx2_double_lanes(),
                         portable_double_lanes()},
                        variants);
}

const LaneKernels<float>& best_single_lanes(std::size_t variants) {
    return best<float>({avx512_single_lanes(),
                        avx512_single_twins(),
                        avx2_single_lanes(),
                        portable_single_lanes()},
                       variants);
}

}  // namespace plenair
