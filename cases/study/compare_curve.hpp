#pragma once

#include "cases/study/compare.hpp"

#include <functional>

/// The loss-spread curve of several values: knee, best set, where it settles.
namespace plenair::study {

/// Half width of the band of the difference in spread between two values. [-]
using PairBand = std::function<double(std::size_t first, std::size_t second)>;

/// Sets `knee`, `second` and the distances. Loss and spread are both scaled
/// to 0..1 between their smallest and largest value; a straight line joins the value of least with
/// the value of most loss; the knee is the value farthest from it on the side of less loss and less
/// spread. No knee with fewer than three values, with none on that side, or where the end with more
/// loss has not less spread by more than the band: then loss buys nothing that can be told. The
/// distance is Euclidean in the scaled plane; common practice, as in Satopaa et al. (2011), from
/// memory.
void mark_knee(CompareCurve& curve, const PairBand& band);

/// ", within the band of 6 mm" of a knee past the value where the curve has settled; else empty.
[[nodiscard]] std::string knee_remark(const CompareCurve& curve,
                                      const std::vector<std::string>& values);

/// Sets `differs`, and `best`: from least loss on, of each value that has less spread, by more than
/// the band, than the last one that has it. @param band  of a difference of spread
void mark_best(CompareCurve& curve, const PairBand& band);

/// Places of the converged values from wide to narrow: by falling slot area, or by rising loss
/// where no areas are given.
[[nodiscard]] std::vector<std::size_t> wide_to_narrow(const CompareCurve& curve,
                                                      const std::vector<double>& slot_areas);

/// Sets `settled` and `band`. @param order  from wide to narrow
void mark_settled(CompareCurve& curve, const std::vector<std::size_t>& order, const PairBand& band);

/// Whether narrowing the slot, or more loss, still helps, in a sentence.
/// @param order  from wide to narrow
/// @param by_area  the order is that of slot areas
/// @param cost  what the loss is of
[[nodiscard]] std::string verdict_of(const CompareCurve& curve,
                                     const std::vector<std::size_t>& order,
                                     bool by_area,
                                     CompareCost cost,
                                     const std::vector<std::string>& values);
/// Where the slot harms, or does not help, at every value or at some: a sentence; else empty.
/// Spreads within variant_band of that without slot are the same.
[[nodiscard]] std::string slot_verdict_of(const CompareCurve& curve,
                                          const std::vector<std::string>& values);

}  // namespace plenair::study
