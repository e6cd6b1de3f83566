#pragma once

#include <cstddef>
#include <string>
#include <vector>

/// Case files with one entry spoilt, in every way that a hand, an editor or a script spoils one.
namespace plenair::test {

struct Spoilt {
    std::string how;  ///< "line 12, width: no unit"
    std::size_t line = 0;  ///< of the entry, from 1
    std::string text;  ///< of the whole file
    bool same_number = false;  ///< only how the number is written was spoilt
};

/// Every entry of a TOML text whose values stand on one line each, spoilt in every way.
[[nodiscard]] std::vector<Spoilt> spoilt(const std::string& text);

}  // namespace plenair::test
