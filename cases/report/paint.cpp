#include "cases/report/paint.hpp"

#include "cases/study/version.hpp"

#include <fmt/format.h>

namespace plenair {

std::string report_head(const Paint& paint,
                        const std::string& title,
                        const std::string& case_digest) {
    return fmt::format("{}\n{}\n",
                       paint.heading(title),
                       paint.faint(fmt::format("plenair {}, case {}", version(), case_digest)));
}

}  // namespace plenair
