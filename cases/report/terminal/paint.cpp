#include "cases/report/terminal/paint.hpp"

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

std::string readings_head(const Paint& paint,
                          const std::string& measured_title,
                          bool made_up,
                          const std::string& summary) {
    std::string text;
    if (!measured_title.empty()) {
        text += "Readings: " + measured_title + "\n";
    }
    if (made_up) {
        text += paint.caution("The readings are made up: an example, read from no metal.") + "\n";
    }
    return text + "\n" + summary + "\n";
}

}  // namespace plenair
