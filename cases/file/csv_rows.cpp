#include "cases/file/csv_rows.hpp"

#include "cases/file/key.hpp"

#include <algorithm>
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
    : in_(path, std::ios::binary), separator_(separator), wanted_(std::move(wanted)) {
    if (!in_) {
        fault_ = fmt::format("{} cannot be read; check the name", path);
        return;
    }
    auto titles = fields();
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

std::vector<std::string> CsvRows::fields() {
    std::vector<std::string> cells;
    if (!std::getline(in_, row_)) {
        return cells;
    }
    ++line_;
    if (row_.size() > longest_row) {
        fault_ = fmt::format("line {} has {} characters; is this a CSV file?", line_, row_.size());
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
        fault_ = fmt::format("line {}, column \"{}\" = \"{}\": {}{}{}",
                             line_,
                             wanted.title.name,
                             cell,
                             outcome.problem,
                             outcome.remedy.empty() ? "" : "; ",
                             cell.empty() ? "fill or delete the row" : outcome.remedy);
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
