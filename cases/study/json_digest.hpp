#pragma once

#include <nlohmann/json.hpp>

#include <string>
#include <string_view>

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

/// Whether the file's own digest is there and right.
enum class Seal { whole, missing, broken };
[[nodiscard]] Seal seal_of(const nlohmann::ordered_json& json);

}  // namespace plenair
