#pragma once

#include "cases/study/bands.hpp"
#include "solver/march/result.hpp"

#include <string>
#include <utility>
#include <vector>

/// How causes of uncertainty add up to the bands of a point.
/// theory T66
namespace plenair::study {

/// Largest difference of two rows of numbers.
[[nodiscard]] double largest_move(const std::vector<double>& a, const std::vector<double>& b);

/// How far each number of a moved point lies from its own.
[[nodiscard]] BandPart moves(const std::string& name,
                             const PointResult& moved,
                             const PointResult& nominal);

/// Joins two parts number by number.
template <class Join>
void join(BandPart& into, const BandPart& part, Join&& of) {
    into.bias = of(into.bias, part.bias);
    into.air = of(into.air, part.air);
    into.spread = of(into.spread, part.spread);
    into.slot_loss = of(into.slot_loss, part.slot_loss);
}

/// A point with a coefficient at the low and at the high end of its band.
using Ends = std::pair<const PointResult*, const PointResult*>;

/// Collects parts; one that moves nothing is none.
class BandSum final {
public:
    /// The caller keeps it alive.
    explicit BandSum(const PointResult& nominal)
        : nominal_(nominal), crossed_bias_(nominal.cylinders.size(), 0.0) {}

    /// @param prior  how many times as wide the cause was before anything was learned of it
    void add(BandPart part, double prior = 1);
    /// Of two coefficients whose own parts were added.
    void add_correlation(double correlation, const Ends& a, const Ends& b);
    /// What the other of two laws would give.
    void add_choice(const std::string& law, PointResult other);
    /// One that did not converge.
    void leave_out(const std::string& what);

    /// Once, at the end.
    [[nodiscard]] Bands result();

private:
    void choose(BandPart& sum,
                const BandPart& crossed,
                const std::vector<double>& crossed_bias) const;
    void keep(BandPart part);
    template <class Number>
    [[nodiscard]] std::vector<double> shifts(Number&& number) const;

    const PointResult& nominal_;
    std::vector<PointResult> choices_;
    std::vector<double> crossed_bias_;  ///< what correlations add to the square, by cylinder
    BandPart crossed_;
    bool learned_ = false;
    Bands bands_;
};

/// "high end of the regain"
[[nodiscard]] std::string end_of(const std::string& name, bool high);
/// "the band is without the ...: it did not converge"
[[nodiscard]] std::string without(const std::string& what);

}  // namespace plenair::study
