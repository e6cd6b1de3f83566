#include "geometry/table.hpp"

#include "geometry/contract.hpp"

#include <algorithm>
#include <cstddef>
#include <functional>
#include <stdexcept>

namespace plenair::geometry {

double interpolate(const CdTable& table, double abscissa) {
    const auto& x = table.abscissa;
    if (x.empty() || x.size() != table.cd.size()) {
        throw std::invalid_argument(
            "discharge coefficient table: columns must have the same length, at least 1");
    }
    PLENAIR_EXPECT(std::is_sorted(x.begin(), x.end(), std::less_equal<>()));
    if (abscissa <= x.front()) {
        return table.cd.front();
    }
    if (abscissa >= x.back()) {
        return table.cd.back();
    }
    const auto upper = std::upper_bound(x.begin(), x.end(), abscissa);
    const auto i = static_cast<std::size_t>(upper - x.begin());
    const double part = (abscissa - x[i - 1]) / (x[i] - x[i - 1]);
    return table.cd[i - 1] + part * (table.cd[i] - table.cd[i - 1]);
}

}  // namespace plenair::geometry
