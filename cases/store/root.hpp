#pragma once

#include "cases/store/grid_writer.hpp"

#include <string>
#include <vector>

namespace plenair {

/// What every results file says of itself.
struct Root {
    std::string format;  ///< "plenair.solve" or "plenair.bench"
    std::string title, case_digest, case_text;
};

/// Root attributes: format, format_version, version, git_sha, title, case_digest, case_text.
void write_root(GridWriter& file, const Root& root);

/// Sentences as one text, a line each.
[[nodiscard]] std::string joined_lines(const std::vector<std::string>& lines);

}  // namespace plenair
