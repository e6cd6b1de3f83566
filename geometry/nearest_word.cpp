#include "geometry/nearest_word.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>

namespace plenair::geometry {

namespace {

/// Steps that lead from one word to the other.
/// @returns `most` where they are at least so far apart
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t most) {
    const std::size_t longer = std::max(a.size(), b.size());
    if (longer - std::min(a.size(), b.size()) >= most) {
        return most;
    }
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(last.begin(), last.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({replace, last[j] + 1, row[j - 1] + 1});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], before[j - 2] + 1);
            }
        }
        if (*std::min_element(row.begin(), row.end()) > most) {
            return most;
        }
        before.swap(last);
        last.swap(row);
    }
    return std::min(last[b.size()], most);
}

}  // namespace

std::string nearest_word(std::string_view word, const std::vector<std::string>& words) {
    std::string best;
    std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const auto& candidate : words) {
        if (const auto distance = edit_distance(word, candidate, least); distance < least) {
            least = distance;
            best = candidate;
        }
    }
    return best;
}

}  // namespace plenair::geometry
