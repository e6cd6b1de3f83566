#include "cases/file/text.hpp"

#include "cases/file/key.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/toml_write.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>

#include <fmt/format.h>

namespace plenair::file {
namespace {

constexpr std::size_t megabyte = 1000000;
constexpr std::size_t largest_file = 4 * megabyte;

std::string size_fault(std::uintmax_t bytes) {
    return fmt::format("{:.1f} MB: a case file is at most {} MB; is this the right file?",
                       static_cast<double>(bytes) / static_cast<double>(megabyte),
                       largest_file / megabyte);
}

std::string read_stream(std::istream& in, const std::string& path) {
    // One byte more than allowed is enough to see that a pipe is too long.
    std::string text(largest_file + 1, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    if (in.bad()) {
        throw ReadError(fmt::format("{}: cannot be read to its end", path));
    }
    return text;
}

}  // namespace

void check_text(std::string_view text, Messages& messages) {
    const Place start{1, 1};
    if (text.size() > largest_file) {
        messages.error(start, size_fault(text.size()));
    } else if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
        messages.error(start, "the file is empty; begin with format = 1");
    } else if (text.starts_with("\xEF\xBB\xBF")) {
        messages.error(start,
                       "the file begins with a byte order mark (BOM); save it as UTF-8 "
                       "without BOM");
    } else if (text[text.find_first_not_of(" \t\r\n")] == '{') {
        messages.error(start,
                       "this is JSON, not TOML; name the case file (results are for trim, compare "
                       "and report)");
    } else if (text.find('\0') != std::string_view::npos) {
        messages.error(start, "this is a binary file, not text; is it the right file?");
    }
    int line = 1;
    while (!messages.any_error() && !text.empty()) {
        const auto end = text.find('\n');
        if (const auto length = std::min(end, text.size()); length > longest_line) {
            messages.error({line, 1},
                           fmt::format("the line has {} characters; at most {} are read, "
                                       "break it",
                                       length,
                                       longest_line));
        }
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        ++line;
    }
}

std::string text_after(std::string_view text, const toml::table& table, bool changed) {
    if (!changed) {
        return std::string(text);
    }
    return toml_document(table);
}

std::string shown_path(const std::string& path) {
    return path == standard_input ? "standard input" : path;
}

std::string read_text(const std::string& path) {
    if (path == standard_input) {
        static const std::string text = read_stream(std::cin, shown_path(path));
        return text;
    }
    std::error_code code;
    const auto status = std::filesystem::status(path, code);
    if (std::filesystem::is_directory(status)) {
        throw ReadError(fmt::format("{}: is a directory; name the file in it", path));
    }
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        throw ReadError(fmt::format("{}: cannot be read: {}", path, std::strerror(errno)));
    }
    if (const auto size = std::filesystem::file_size(path, code); !code && size > largest_file) {
        throw InputError({fmt::format("{}:1:1: {}", path, size_fault(size))});
    }
    return read_stream(in, path);
}

std::string key_before(std::string_view text, Place place) {
    const auto rows = split(text, '\n');
    if (place.line < 1 || static_cast<std::size_t>(place.line) > rows.size()) {
        return {};
    }
    std::string_view row = rows[static_cast<std::size_t>(place.line) - 1];
    row = row.substr(0, static_cast<std::size_t>(std::max(0, place.column - 1)));
    row = row.substr(0, std::min(row.size(), row.find_last_not_of(" \t=") + 1));
    char quote = '\0';
    std::size_t begin = 0;
    for (std::size_t i = 0; i < row.size(); ++i) {
        const char sign = row[i];
        if (quote != '\0') {
            quote = sign == quote ? '\0' : quote;
        } else if (sign == '"' || sign == '\'') {
            quote = sign;
        } else if (sign == '{' || sign == ',') {
            begin = i + 1;
        }
    }
    begin = row.find_first_not_of(" \t", begin);
    return begin == std::string_view::npos ? std::string{} : std::string(row.substr(begin));
}

}  // namespace plenair::file
