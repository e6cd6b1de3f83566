#pragma once

#include <sstream>
#include <string>
#include <vector>

/// Whether a text contains another.
[[nodiscard]] inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Parts of a text between separators; none after a separator at the end.
[[nodiscard]] inline std::vector<std::string> split(const std::string& text, char separator) {
    std::vector<std::string> parts;
    std::istringstream stream(text);
    for (std::string part; std::getline(stream, part, separator);) {
        parts.push_back(part);
    }
    return parts;
}
