#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// Text as a cell of comma-separated values (RFC 4180): quoted where it must be.
[[nodiscard]] std::string csv_cell(std::string_view text);
/// Shortest text that reads back to the same bits; empty where not finite.
[[nodiscard]] std::string csv_cell(double value);
/// Cells of one row, closed by a line end.
[[nodiscard]] std::string csv_line(const std::vector<std::string>& cells);

}  // namespace plenair
