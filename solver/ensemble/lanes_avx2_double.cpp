#include "solver/ensemble/lanes_avx2.hpp"

namespace plenair {

template const LaneKernels<double>* avx2_lanes();

}  // namespace plenair
