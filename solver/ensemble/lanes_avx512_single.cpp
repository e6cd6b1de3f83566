#include "solver/ensemble/lanes_avx512.hpp"

namespace plenair {

template const LaneKernels<float>* avx512_lanes();
template const LaneKernels<float>* avx512_pairs();

}  // namespace plenair
