#include "solver/ensemble/lanes_avx512.hpp"

namespace plenair {

template const LaneKernels<double>* avx512_lanes();
template const LaneKernels<double>* avx512_pairs();

}  // namespace plenair
