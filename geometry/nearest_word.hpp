#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace plenair::geometry {

/// The word of `words` nearest to a mistyped one by insertions, deletions, replacements and swaps
/// of neighbours (optimal string alignment; Damerau 1964, from memory); empty where none is as near
/// as a third of its letters. Every "did you mean" of the program comes from here.
[[nodiscard]] std::string nearest_word(std::string_view word,
                                       const std::vector<std::string>& words);

}  // namespace plenair::geometry
