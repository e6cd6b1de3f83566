#pragma once

#include "cases/study/case.hpp"
#include "cases/study/compare.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// An entry and the values it takes in turn.
struct Variation {
    std::string key;
    std::vector<std::string> values;  ///< as after --set: "3 mm"
};

/// Reads "slot.width=3, 4, 5 mm": values apart by commas, one unit at the end for all that state
/// none. Commas inside brackets, braces or quotes do not part.
/// @throws InputError  without key, with an empty or repeated value, with fewer than two values or
/// more than `most_values`
[[nodiscard]] Variation parse_variation(std::string_view text);

inline constexpr std::size_t most_values = 1000;

/// What compare varies: `vary` as above; or one range, "slot.width={ from = \"3 mm\", ... }", as in
/// [sweep]; or, where `vary` is empty, the one entry of the case's [sweep].
/// @throws InputError  as parse_variation and read_sweep do; where [sweep] names several entries,
/// or `sets` the one that varies
[[nodiscard]] Variation read_variation(const std::string& vary,
                                       const std::string& path,
                                       const std::vector<std::string>& sets);

/// The case once for each value, its text (which holds what --set changed) read again with it.
/// @throws InputError with the messages of all values that the case refuses
[[nodiscard]] std::vector<ComparedCase> vary_case(const Case& base, const Variation& variation);

}  // namespace plenair
