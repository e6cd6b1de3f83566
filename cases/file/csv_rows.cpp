#include "cases/file/csv_rows.hpp"

#include "cases/file/key.hpp"
#include "cases/study/no_file.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

constexpr std::size_t longest_row = 100000;

std::string trimmed(const std::string& text) {
    constexpr auto blank = " \t\r";
    const auto first = text.find_first_not_of(blank);
    return first == std::string::npos
               ? std::string{}
               : text.substr(first, text.find_last_not_of(blank) - first + 1);
}

}  // namespace

ColumnName column_name(const std::string& text) {
    const auto bar = text.rfind('|');
    return bar == std::string::npos
               ? ColumnName{trimmed(text), ""}
               : ColumnName{trimmed(text.substr(0, bar)), trimmed(text.substr(bar + 1))};
}

CsvRows::CsvRows(const std::string& path, char separator, std::vector<WantedColumn> wanted)
    : separator_(separator),
      wanted_(std::move(wanted)),
      buffer_(longest_row + 1) {  // one for the end of the text that getline writes
    if (const auto reason = no_file_reason(path); !reason.empty()) {
        fault_ = fmt::format("{} cannot be read: {}", path, reason);
        return;
    }
    errno = 0;
    in_.open(path, std::ios::binary);
    if (!in_) {
        fault_ = fmt::format("{} cannot be read: {}; check the name", path, std::strerror(errno));
        return;
    }
    auto titles = fields();
    if (!fault_.empty()) {
        return;
    }
    if (titles.empty()) {
        fault_ = "the file is empty; its first line must name the columns";
        return;
    }
    if (titles.front().starts_with("\xEF\xBB\xBF")) {
        titles.front().erase(0, 3);
    }
    for (const auto& column : wanted_) {
        const auto found = std::find(titles.begin(), titles.end(), column.title.name);
        if (found == titles.end()) {
            const auto near = nearest_word(column.title.name, titles);
            fault_ =
                fmt::format("there is no column \"{}\"; {}",
                            column.title.name,
                            near.empty() ? fmt::format("the file has {}", fmt::join(titles, ", "))
                                         : fmt::format("did you mean \"{}\"?", near));
            return;
        }
        if (std::find(found + 1, titles.end(), column.title.name) != titles.end()) {
            fault_ = fmt::format("two columns are named \"{}\"; rename one", column.title.name);
            return;
        }
        place_.push_back(static_cast<std::size_t>(found - titles.begin()));
    }
}

/// The next line into `row_`, without its end. @returns false at the end of the file, or where the
/// line has none, which is then the fault
bool CsvRows::next_line() {
    in_.getline(buffer_.data(), static_cast<std::streamsize>(buffer_.size()));
    const auto got = static_cast<std::size_t>(in_.gcount());
    if (in_.bad()) {
        fault_ = fmt::format("cannot be read beyond line {}; copy the file again", line_);
        return false;
    }
    if (in_.fail() && got == 0) {
        return false;
    }
    ++line_;
    if (in_.fail()) {
        fault_ = fmt::format(
            "line {} has more than {} characters; is this a CSV file?", line_, longest_row);
        return false;
    }
    row_ = {buffer_.data(), in_.eof() ? got : got - 1};  // the end of the line is counted
    return true;
}

std::vector<std::string> CsvRows::fields() {
    std::vector<std::string> cells;
    if (!next_line()) {
        return cells;
    }
    std::string cell;
    bool quoted = false;
    for (const char c : row_) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == separator_ && !quoted) {
            cells.push_back(trimmed(cell));
            cell.clear();
        } else {
            cell += c;
        }
    }
    cells.push_back(trimmed(cell));
    return cells;
}

double CsvRows::number(const std::string& cell, std::size_t column) {
    const WantedColumn& wanted = wanted_[column];
    const auto outcome = geometry::parse_quantity(
        cell + (wanted.title.unit.empty() ? "" : " " + wanted.title.unit), wanted.dimension);
    if (!outcome.value) {
        fault_ = fmt::format("line {}, column \"{}\" = \"{}\": {}; {}",
                             line_,
                             wanted.title.name,
                             cell,
                             cell.empty() ? "empty" : outcome.problem,
                             cell.empty()             ? "fill it, or delete the row"
                             : outcome.remedy.empty() ? "check the number"
                                                      : outcome.remedy);
    }
    return outcome.value.value_or(0);
}

std::optional<std::vector<double>> CsvRows::next() {
    while (fault_.empty() && in_) {
        const auto cells = fields();
        if (cells.empty() || (cells.size() == 1 && cells.front().empty())) {
            continue;
        }
        std::vector<double> row;
        for (std::size_t i = 0; i < wanted_.size() && fault_.empty(); ++i) {
            if (place_[i] >= cells.size()) {
                fault_ = fmt::format("line {} ends before column \"{}\"; mend or delete it",
                                     line_,
                                     wanted_[i].title.name);
            } else {
                row.push_back(number(cells[place_[i]], i));
            }
        }
        if (fault_.empty()) {
            return row;
        }
    }
    return std::nullopt;
}

}  // namespace plenair::file
