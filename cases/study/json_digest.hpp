#pragma once

#include <nlohmann/json.hpp>

#include <cstdint>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

/// The digest that a JSON file carries of itself, so that damage shows when it is read.
namespace plenair {

inline constexpr const char* content_digest_key = "content_digest";

/// "sha256:..." of all entries but the digest itself, in whatever order they stand and whatever
/// blanks are between them.
[[nodiscard]] std::string content_digest(const nlohmann::ordered_json& json);

/// Parses text of at most `most_json_depth` levels. What stands twice counts as damage.
/// @throws nlohmann::json::exception  where it is no JSON, or deeper
[[nodiscard]] nlohmann::ordered_json parse_json(std::string_view text);

inline constexpr int most_json_depth = 64;

/// A whole number that `Number` holds; get<int>() of 1e300 would be undefined.
/// @throws nlohmann::json::exception  where it is no such number
template <class Number = int>
[[nodiscard]] Number whole_from(const nlohmann::ordered_json& json) {
    using Limits = std::numeric_limits<Number>;
    constexpr auto low = static_cast<std::int64_t>(Limits::lowest());
    constexpr auto high = static_cast<std::uint64_t>(Limits::max());
    bool fits = json.is_number_integer();
    if (json.is_number_unsigned()) {
        fits = json.get<std::uint64_t>() <= high;
    } else if (fits) {
        const auto number = json.get<std::int64_t>();
        fits = number >= low && (number < 0 || static_cast<std::uint64_t>(number) <= high);
    }
    if (!fits) {
        throw nlohmann::ordered_json::type_error::create(302, "a whole number is expected", &json);
    }
    return json.get<Number>();
}
/// A list of them.
[[nodiscard]] std::vector<int> whole_numbers_from(const nlohmann::ordered_json& json);

/// Whether the file's own digest is there and right.
enum class Seal { whole, missing, broken };
[[nodiscard]] Seal seal_of(const nlohmann::ordered_json& json);

}  // namespace plenair
