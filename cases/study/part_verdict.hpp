#pragma once

#include "cases/study/measured.hpp"
#include "cases/study/tolerance.hpp"

namespace plenair {

/// The tolerance study of one made part: gauged sizes stand as found and are off by no more than
/// the gauge, all others are anywhere within their limits.
[[nodiscard]] TolerancePlan as_found(const TolerancePlan& drawn, const Measured& measured);

/// One verdict on the part, from what it may still be: "use" where 95 % of it meets the target,
/// "rework" where nothing of it does but opening the slot at the fewest neighbouring stations to
/// the drawn width would do, "cannot tell" with the size to measure where neither is sure.
/// @param found  the plan that as_found made
/// @param result  of `found`; receives the verdict, and its sentence before the others
void assess_part(const TolerancePlan& drawn,
                 const TolerancePlan& found,
                 const Measured& measured,
                 const ToleranceOptions& options,
                 ToleranceResult& result);

}  // namespace plenair
