#include "cases/report/words/text_lines.hpp"

#include <cstddef>
#include <sstream>

namespace plenair {

std::string wrapped(const std::string& label, const std::string& text) {
    constexpr std::size_t width = 92;
    std::istringstream words(text);
    std::string lines, line = label;
    bool fresh = true;
    for (std::string word; words >> word;) {
        if (!fresh && line.size() + 1 + word.size() > width) {
            lines += line + "\n";
            line = std::string(label.size(), ' ');
            fresh = true;
        }
        line += (fresh ? "" : " ") + word;
        fresh = false;
    }
    return lines + line + "\n";
}

}  // namespace plenair
