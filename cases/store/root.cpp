#include "cases/store/root.hpp"

#include "cases/store/store.hpp"
#include "cases/study/version.hpp"

#include <fmt/ranges.h>

namespace plenair {

void write_root(GridWriter& file, const Root& root) {
    file.attribute("format", root.format);
    file.attribute("format_version", results_format_version);
    file.attribute("version", version());
    file.attribute("git_sha", git_sha());
    file.attribute("title", root.title);
    file.attribute("case_digest", root.case_digest);
    file.attribute("case_text", root.case_text);
}

std::string joined_lines(const std::vector<std::string>& lines) {
    return fmt::format("{}", fmt::join(lines, "\n"));
}

}  // namespace plenair
