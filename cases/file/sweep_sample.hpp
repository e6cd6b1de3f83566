#pragma once

#include "cases/file/sweep.hpp"
#include "cases/file/sweep_axes.hpp"

#include <cstddef>
#include <vector>

namespace plenair::file {

/// How many variants the section asks for. Reports what does not go together, and more variants
/// than the limit.
[[nodiscard]] std::size_t variant_count(const SweepAxes& axes,
                                        const VariantLimit& limit,
                                        Messages& messages);

/// The values of variants `first` to `first + count - 1`, counted from 0, one per axis. They depend
/// on their numbers alone, not on what was asked before.
///
/// Method sobol: Sobol' 1967 with the direction numbers of Joe and Kuo 2008 (Boost.Random), each
/// coordinate shifted by a random number in binary digits (L'Ecuyer and Lemieux 2002), which keeps
/// the points as even as they are and makes another sample of another seed.
[[nodiscard]] std::vector<std::vector<Value>> sample(const SweepAxes& axes,
                                                     std::size_t first,
                                                     std::size_t count);

}  // namespace plenair::file
