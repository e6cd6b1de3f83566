#pragma once

#include "solver/arithmetic/real.hpp"

/// Total-pressure loss of tees on the velocity head of the common (whole-flow) leg; q =
/// branch/common flow, a = branch/main area. Families differ by 7 to 20 %: a tee is known no
/// better.
namespace plenair::laws {

/// Losses of a dividing branch (Gardel 1957) in the velocities of the streams, q V = a w: what
/// grows with the branch's own head w^2 apart from the rest, both as squares of a velocity.
/// theory T25
template <class R>
struct BranchHeads {
    R entry;  ///< coefficient of w^2
    R lost;  ///< the rest [m2/s2]
};

/// `upstream` V of the header before the branch, `branch` w >= 0, `radius` of the edge over the
/// main diameter, `half_cotangent` of half the angle between the branch and the run behind it.
template <class R>
[[nodiscard]] BranchHeads<R> gardel_branch_heads(
    R a, R radius, R upstream, R branch, R half_cotangent) {
    using arithmetic::sqrt;
    const R corner = R(1.0) - R(0.9) * sqrt(radius / a);
    const R both = upstream * branch;
    const R turn = R(1.0) + R(1.3) * (half_cotangent - R(1.0));  // 1.3 cot(angle/2) - 0.3
    return {R(0.95) * a * a + (a * a * turn + R(0.4) - R(0.1) * a) * corner,
            R(0.95) * upstream * upstream - R(1.9) * a * both +
                R(0.4) * (R(1.0) + a) * both * half_cotangent};
}

/// Straight-through loss of the same times V1^2, from the velocities before and behind
/// the branch.
template <class R>
[[nodiscard]] R gardel_run_head(R before, R behind) {
    const R change = before - behind;
    return R(0.03) * behind * behind + R(0.35) * change * change - R(0.2) * behind * change;
}

}  // namespace plenair::laws
