#include "cases/report/csv/cell.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <charconv>
#include <cmath>
#include <system_error>

namespace plenair {

namespace {

bool is_number(std::string_view text) {
    double number = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
    return read.ec == std::errc{} && read.ptr == text.data() + text.size();
}

/// Spreadsheets compute a cell that begins so, after blanks too, whatever the file says it is. Such
/// text gets an apostrophe before it.
bool is_formula(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos &&
           std::string_view("=+-@").find(text[first]) != std::string_view::npos && !is_number(text);
}

}  // namespace

std::string csv_cell(std::string_view text) {
    if (is_formula(text)) return csv_cell("'" + std::string(text));
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
