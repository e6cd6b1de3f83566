#include "solver/ensemble/lanes_avx2.hpp"

namespace plenair {

template const LaneKernels<float>* avx2_lanes();

}  // namespace plenair
