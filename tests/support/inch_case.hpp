#pragma once

#include "geometry/quantity.hpp"

#include <regex>
#include <string>

namespace plenair::test {

/// A case with every length and area in inches in place of millimetres, to the last bit but one.
/// The grid and what stands behind # stay.
inline std::string in_inches(const std::string& text) {
    static const std::regex quantity(R"re("([-+0-9., ]+) (mm2?)")re");
    std::string made;
    auto from = text.cbegin();
    std::smatch found;
    while (std::regex_search(from, text.cend(), found, quantity)) {
        const bool area = found[2] == "mm2";
        const auto list =
            geometry::parse_list(found[1].str() + " " + found[2].str(),
                                 area ? geometry::Dimension::area : geometry::Dimension::length);
        std::string inches;
        for (const double value : list.values.value()) {
            inches +=
                (inches.empty() ? "" : ", ") + geometry::format_in(value, area ? "in2" : "in", 17);
        }
        made.append(from, found[0].first);
        made += '"' + inches + (area ? " in2\"" : " in\"");
        from = found[0].second;
    }
    made.append(from, text.cend());
    return made;
}

}  // namespace plenair::test
