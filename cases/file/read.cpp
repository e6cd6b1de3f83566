#include "cases/file/read.hpp"

#include "cases/file/build.hpp"
#include "cases/file/normalise.hpp"
#include "cases/study/error.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <utility>

#include <fmt/format.h>

namespace plenair {
namespace {

using file::Messages;
using file::Place;

constexpr std::size_t kMegabyte = 1000000;
constexpr std::size_t kLargestFile = 4 * kMegabyte;
/// Deep keys on one endless line would nest tables without limit.
constexpr std::size_t kLongestLine = 10000;

std::string size_fault(std::uintmax_t bytes) {
    return fmt::format("{:.1f} MB: a case file is at most {} MB; is this the right file?",
                       static_cast<double>(bytes) / static_cast<double>(kMegabyte),
                       kLargestFile / kMegabyte);
}

/// Text that cannot be a case file at all.
void check_text(std::string_view text, Messages& messages) {
    const Place start{1, 1};
    if (text.size() > kLargestFile) {
        messages.error(start, size_fault(text.size()));
    } else if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
        messages.error(start, "the file is empty; begin with format = 1");
    } else if (text.starts_with("\xEF\xBB\xBF")) {
        messages.error(start,
                       "the file begins with a byte order mark (BOM); save it as UTF-8 "
                       "without BOM");
    } else if (text.find('\0') != std::string_view::npos) {
        messages.error(start, "this is a binary file, not text; is it the right file?");
    }
    int line = 1;
    while (!messages.any_error() && !text.empty()) {
        const auto end = text.find('\n');
        if (const auto length = std::min(end, text.size()); length > kLongestLine) {
            messages.error({line, 1},
                           fmt::format("the line has {} characters; at most {} are read, "
                                       "break it",
                                       length,
                                       kLongestLine));
        }
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        ++line;
    }
}

void check_format(const file::Scope& root, Messages& messages) {
    if (const auto* format = root.good("format"); format && format->number() != 1) {
        file::refuse(messages, *format, "this version reads format 1; write format = 1");
    }
}

void check_something(const file::Scope& root, Messages& messages) {
    for (const auto* part :
         {"engine", "bank", "throttle", "pre_chamber", "slot", "plenum", "runner"}) {
        if (root.has(part)) {
            return;
        }
    }
    messages.error({1, 1},
                   "no part is named; add at least one of [throttle], [pre_chamber], [slot], "
                   "[plenum], [runner]");
}

void build(const file::Scope& root, Case& c, Messages& messages) {
    check_format(root, messages);
    check_something(root, messages);
    c.title = root.word("case.title");
    c.barometer = root.number("site.barometer");
    c.has_engine = root.has("engine");
    if (c.has_engine) {
        c.engine = file::build_engine(root, messages);
    }
    c.intake = file::build_intake(root, c.has_engine ? c.engine.cylinder_count() : 0, messages);
    c.model = file::build_model(root, messages);
    c.points = file::build_points(root, messages);
    file::build_fuel(root, c, messages);
    c.bench = file::build_bench(root, c.intake, messages);
    file::check_points(root, c, messages);
    if (!messages.any_error()) {
        // Only a whole assembly can be judged: half of one would give findings that are not its
        // fault.
        file::check_assembly(root, c, messages);
    }
}

/// The file after --set, so that stored results can be computed again from it.
std::string text_after(std::string_view text, const toml::table& table, bool changed) {
    if (!changed) {
        return std::string(text);
    }
    std::ostringstream out;
    out << table << '\n';
    return out.str();
}

}  // namespace

Case parse_case(std::string_view text, std::string path, const std::vector<std::string>& sets) {
    Messages messages(path);
    check_text(text, messages);
    Case c;
    c.path = std::move(path);
    if (!messages.any_error()) {
        if (const auto table = file::parse_toml(text, sets, messages)) {
            const auto root = file::read_scopes(*table, messages);
            build(root, c, messages);
            if (!messages.any_error()) {
                c.text = text_after(text, *table, !sets.empty());
                c.digest = file::digest(root);
                c.echo = file::echo(root);
            }
        }
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    c.warnings = messages.warnings();
    return c;
}

Case read_case(const std::string& path, const std::vector<std::string>& sets) {
    std::error_code code;
    const auto status = std::filesystem::status(path, code);
    if (std::filesystem::is_directory(status)) {
        throw ReadError(fmt::format("{}: is a directory; name the case file in it", path));
    }
    errno = 0;
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        throw ReadError(fmt::format("{}: cannot be read: {}", path, std::strerror(errno)));
    }
    if (const auto size = std::filesystem::file_size(path, code); !code && size > kLargestFile) {
        throw InputError({fmt::format("{}:1:1: {}", path, size_fault(size))});
    }
    // One byte more than allowed is enough to see that a pipe is too long.
    std::string text(kLargestFile + 1, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    if (in.bad()) {
        throw ReadError(fmt::format("{}: cannot be read to its end", path));
    }
    return parse_case(text, path, sets);
}

}  // namespace plenair
