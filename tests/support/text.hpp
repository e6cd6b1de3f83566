#pragma once

#include <sstream>
#include <string>
#include <vector>

/// Whether a text contains another.
[[nodiscard]] inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Cells of one line of CSV without line ends in its cells (RFC 4180).
[[nodiscard]] inline std::vector<std::string> csv_cells(const std::string& line) {
    std::vector<std::string> cells{""};
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (line[i] == '"') {
            if (quoted && i + 1 < line.size() && line[i + 1] == '"') {
                cells.back() += line[i++];
            } else {
                quoted = !quoted;
            }
        } else if (line[i] == ',' && !quoted) {
            cells.emplace_back();
        } else {
            cells.back() += line[i];
        }
    }
    return cells;
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
