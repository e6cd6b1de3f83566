#pragma once

#include "tests/support/random_engine.hpp"

#include <cstdint>
#include <optional>

namespace plenair::test {

/// Of the shares of a random engine, of one cylinder of its air: the error that was estimated when
/// its iteration stopped, and the one found against the same march brought to 1e-9 [-].
struct ShareErrors {
    double estimated = 0, found = 0;
};

/// None where the engine has no result, or none to 1e-9 on the same kind of faces.
[[nodiscard]] std::optional<ShareErrors> share_error_of(EngineRange range, std::uint64_t seed);

}  // namespace plenair::test
