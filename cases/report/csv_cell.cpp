#include "cases/report/csv_cell.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace plenair {

std::string csv_cell(std::string_view text) {
    if (text.find_first_of(",\"\n\r") == std::string_view::npos) return std::string(text);
    std::string quoted = "\"";
    for (const char sign : text) {
        quoted += sign;
        if (sign == '"') quoted += '"';
    }
    return quoted + "\"";
}

std::string csv_cell(double value) {
    return std::isfinite(value) ? fmt::format("{}", value) : "";
}

std::string csv_line(const std::vector<std::string>& cells) {
    return fmt::format("{}\n", fmt::join(cells, ","));
}

}  // namespace plenair
