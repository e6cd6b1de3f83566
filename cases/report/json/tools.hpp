#pragma once

#include "cases/study/assumption.hpp"

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace plenair {

/// Keeps the fields in the order they are named.
using Json = nlohmann::ordered_json;

/// A finite number, else null.
[[nodiscard]] Json json_number(double value);
/// The same for each; an array.
[[nodiscard]] Json json_numbers(const std::vector<double>& values);
/// First fields of every result: format, version, git_sha, title, case_digest.
[[nodiscard]] Json json_head(const std::string& format,
                             const std::string& title,
                             const std::string& case_digest);
/// Entries that nobody has confirmed: entry, value, basis, and within where a band is stated.
[[nodiscard]] Json json_assumed(const std::vector<Assumption>& assumed);
/// Text with a line end; bytes that are not UTF-8 are replaced, for a case text may hold any.
[[nodiscard]] std::string json_dump(const Json& json);

}  // namespace plenair
