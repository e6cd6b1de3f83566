#include "cases/base/statistics.hpp"

#include "geometry/contract.hpp"

#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/normal.hpp>

namespace plenair {

double normal_quantile(double share) {
    return boost::math::quantile(boost::math::normal(), share);
}

std::pair<double, double> probability_interval(std::size_t good, std::size_t all) {
    PLENAIR_EXPECT(good <= all && all > 0);
    using Binomial = boost::math::binomial;
    constexpr double outside = 0.025;  // on each side
    const auto n = static_cast<double>(all), k = static_cast<double>(good);
    return {Binomial::find_lower_bound_on_p(n, k, outside),
            Binomial::find_upper_bound_on_p(n, k, outside)};
}

}  // namespace plenair
