#include "cases/study/assumption.hpp"

#include <algorithm>

namespace plenair {

std::string assumption_text(const Assumption& assumption) {
    std::string text = assumption.key + " = " + assumption.value;
    if (!assumption.within.empty()) {
        text += ", within " + assumption.within;
    }
    return text + ": " + assumption.basis;
}

std::size_t banded(const std::vector<Assumption>& assumed) {
    return static_cast<std::size_t>(std::count_if(
        assumed.begin(), assumed.end(), [](const Assumption& a) { return bool(a.end); }));
}

std::string band_source(const std::vector<Assumption>& assumed) {
    const auto count = banded(assumed);
    return count == 0   ? std::string{}
           : count == 1 ? " and 1 assumed entry"
                        : " and " + std::to_string(count) + " assumed entries";
}

std::string assumed_keys(const std::vector<Assumption>& assumed) {
    std::string keys;
    for (const auto& assumption : assumed) {
        keys += (keys.empty() ? "" : ", ") + assumption.key;
    }
    return keys;
}

}  // namespace plenair
