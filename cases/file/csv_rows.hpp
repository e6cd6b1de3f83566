#pragma once

#include "cases/file/key.hpp"
#include "geometry/quantity.hpp"

#include <fstream>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace plenair::file {

/// "Name | unit" of a column map.
struct ColumnName {
    std::string name, unit;
};
[[nodiscard]] ColumnName column_name(const std::string& text);

/// A column that is wanted, what its numbers measure, and the key whose limits they keep.
struct WantedColumn {
    ColumnName title;
    geometry::Dimension dimension = geometry::Dimension::none;
    const Key* limits = nullptr;
};

/// Reads a CSV file row by row, so that a file of a million lines needs no more memory than one of
/// ten. Fields may stand in double quotes (RFC 4180); a byte order mark and CR are skipped. Lines
/// have an end: no file, nor what is none, fills the memory.
class CsvRows final {
public:
    /// Opens the file and finds the columns in its first line. Faults stand in `fault()`: what is
    /// wrong, where, and the remedy.
    CsvRows(const std::string& path, char separator, std::vector<WantedColumn> wanted);

    /// The next row in SI units, in the order wanted; nothing at the end or after a fault.
    [[nodiscard]] std::optional<std::vector<double>> next();
    [[nodiscard]] const std::string& fault() const { return fault_; }
    [[nodiscard]] std::size_t line() const { return line_; }

private:
    [[nodiscard]] bool next_line();
    [[nodiscard]] bool is_text() const;
    [[nodiscard]] std::vector<std::string> fields();
    [[nodiscard]] std::string title_fault(const std::vector<std::string>& titles,
                                          const std::string& wanted) const;
    [[nodiscard]] double number(const std::string& cell, std::size_t column);

    std::ifstream in_;
    char separator_;
    std::vector<WantedColumn> wanted_;
    std::vector<std::size_t> place_;
    std::vector<char> buffer_;
    std::string_view row_;
    std::string fault_;
    std::size_t columns_ = 0;
    std::size_t line_ = 0;
};

}  // namespace plenair::file
