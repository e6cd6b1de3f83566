#include "geometry/nearest_word.hpp"

#include <algorithm>
#include <array>
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
        if (*std::min_element(row.begin(), row.end()) >= most) {
            return most;
        }
        before.swap(last);
        last.swap(row);
    }
    return std::min(last[b.size()], most);
}

/// The letters of one word, to see at once which others are far from it.
class Letters final {
public:
    explicit Letters(std::string_view word) : size_(word.size()) {
        for (const char c : word) {
            ++left_[static_cast<unsigned char>(c)];
        }
    }

    /// Letters that stand in one of the words alone, of the word with more of them: never more than
    /// the steps from one to the other (a replacement counts once in each, a swap not at all).
    [[nodiscard]] std::size_t apart(std::string_view other) {
        std::size_t shared = 0;
        for (const char c : other) {
            shared += left_[static_cast<unsigned char>(c)]-- > 0 ? 1 : 0;
        }
        for (const char c : other) {
            ++left_[static_cast<unsigned char>(c)];
        }
        return std::max(size_, other.size()) - shared;
    }

private:
    std::size_t size_;
    std::array<int, 256> left_{};
};

}  // namespace

std::string nearest_word(std::string_view word, const std::vector<std::string>& words) {
    std::string best;
    std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
    Letters letters(word);
    for (const auto& candidate : words) {
        const auto longer = std::max(word.size(), candidate.size());
        if (longer - std::min(word.size(), candidate.size()) >= least ||
            letters.apart(candidate) >= least) {
            continue;
        }
        if (const auto distance = edit_distance(word, candidate, least); distance < least) {
            least = distance;
            best = candidate;
        }
    }
    return best;
}

}  // namespace plenair::geometry
