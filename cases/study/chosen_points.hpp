#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace plenair {
struct Case;
}

namespace plenair::study {

/// Places of the wanted points in the case, in its order.
/// @param names  of points, or of curves for all of their points; empty: all
/// @param verb  who asks, for the messages
/// @throws InputError  no engine, no point, or a name that is neither; lists what there is
[[nodiscard]] std::vector<std::size_t> chosen_points(const Case& c,
                                                     const std::vector<std::string>& names,
                                                     const std::string& verb);

}  // namespace plenair::study
