#include "cases/file/csv_rows.hpp"

#include "cases/file/value_limit.hpp"
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

/// The unit stands in the title: not in what is said of a cell. @param unit  with its blank
std::string without(std::string text, const std::string& unit) {
    for (const auto& [end, other] : {std::pair<std::string, std::string>{unit + "\"", "\""},
                                     {" with its unit", " alone, its unit is in the title"}}) {
        if (const auto at = text.find(end); !unit.empty() && at != std::string::npos) {
            text.replace(at, end.size(), other);
        }
    }
    return text;
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
    columns_ = titles.size();
    for (const auto& column : wanted_) {
        const auto found = std::find(titles.begin(), titles.end(), column.title.name);
        if (found == titles.end()) {
            fault_ = title_fault(titles, column.title.name);
            return;
        }
        if (std::find(found + 1, titles.end(), column.title.name) != titles.end()) {
            fault_ = fmt::format("two columns are named \"{}\"; rename one", column.title.name);
            return;
        }
        place_.push_back(static_cast<std::size_t>(found - titles.begin()));
    }
}

/// Why a column is not among the titles, and what to do.
std::string CsvRows::title_fault(const std::vector<std::string>& titles,
                                 const std::string& wanted) const {
    if (titles.front().starts_with("\xFF\xFE") || titles.front().starts_with("\xFE\xFF")) {
        return "the file is UTF-16; save it as CSV in UTF-8";
    }
    if (const auto end = row_.find('\r'); end != std::string_view::npos && end + 1 < row_.size()) {
        return "the lines end with CR alone; save the file with LF or CR LF at the end of each "
               "line";
    }
    if (titles.size() == 1 && titles.front().empty()) {
        return "line 1 is empty; the first line must name the columns";
    }
    // What another reading takes is not meant by this one.
    auto others = titles;
    std::erase_if(others, [&](const std::string& title) {
        return std::any_of(wanted_.begin(), wanted_.end(), [&](const WantedColumn& column) {
            return column.title.name == title;
        });
    });
    const auto near = nearest_word(wanted, others);
    using Separator = std::pair<char, std::string_view>;
    for (const auto& [sign, name] :
         {Separator{',', "comma"}, Separator{';', "semicolon"}, Separator{'\t', "tab"}}) {
        if (titles.size() == 1 && sign != separator_ && row_.find(sign) != std::string_view::npos) {
            return fmt::format(
                "there is no column \"{}\"; line 1 is separated by {}: write separator = \"{}\"",
                wanted,
                name,
                name);
        }
    }
    return fmt::format("there is no column \"{}\"; {}",
                       wanted,
                       near.empty() ? fmt::format("line 1 must name the columns, and has {}",
                                                  fmt::join(titles, ", "))
                                    : fmt::format("did you mean \"{}\"?", near));
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
    if (!is_text()) {
        fault_ = fmt::format(
            "line {} holds bytes that are no text; save the table as CSV, or name another file",
            line_);
        return false;
    }
    return true;
}

/// Whether a line can be one of a table, by the bytes that no text holds. UTF-16 has them as well;
/// that is said elsewhere.
bool CsvRows::is_text() const {
    const bool utf_16 = row_.starts_with("\xFF\xFE") || row_.starts_with("\xFE\xFF");
    const bool control = std::any_of(row_.begin(), row_.end(), [](char c) {
        return static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\r';
    });
    // Formats of bytes begin with one that begins no character, so that nobody takes them for text.
    const bool marked = row_.starts_with("\x89") || row_.starts_with("\x1f\x8b");
    return line_ > 1 || utf_16 || (!control && !marked);
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
    if (quoted) {
        fault_ = fmt::format("line {} opens a quote and does not close it; close it", line_);
        return {};
    }
    cells.push_back(trimmed(cell));
    return cells;
}

double CsvRows::number(const std::string& cell, std::size_t column) {
    const WantedColumn& wanted = wanted_[column];
    const std::string unit = wanted.title.unit.empty() ? "" : " " + wanted.title.unit;
    const auto outcome = geometry::parse_quantity(cell + unit, wanted.dimension);
    if (!outcome.value) {
        const auto remedy = without(outcome.remedy, unit);
        fault_ = fmt::format("line {}, column \"{}\" = \"{}\": {}; {}",
                             line_,
                             wanted.title.name,
                             cell,
                             cell.empty() ? "empty" : without(outcome.problem, unit),
                             cell.empty()     ? "fill it, or delete the row"
                             : remedy.empty() ? "check the number"
                                              : remedy);
    }
    const auto over = outcome.value && wanted.limits
                          ? limit_fault(*wanted.limits, wanted.title.unit, *outcome.value, {})
                          : std::nullopt;
    if (over) {
        fault_ = fmt::format(
            "line {}, column \"{}\" = \"{}\": {}; check the number, and the unit "
            "of the column",
            line_,
            wanted.title.name,
            cell,
            over->substr(0, over->find("; ")));
    }
    return outcome.value.value_or(0);
}

std::optional<std::vector<double>> CsvRows::next() {
    while (fault_.empty() && in_) {
        auto cells = fields();
        if (cells.empty() || (cells.size() == 1 && cells.front().empty())) {
            continue;
        }
        while (cells.size() > columns_ && cells.back().empty()) {
            cells.pop_back();
        }
        if (cells.size() > columns_) {
            // A decimal comma would shift every number behind it.
            fault_ = fmt::format(
                "line {} has {} cells for the {} columns of line 1; write numbers "
                "with a decimal point",
                line_,
                cells.size(),
                columns_);
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
