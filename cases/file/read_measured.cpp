#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/measured_kind.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {

namespace {

/// Blanks of the file that `fit --blank` writes, left in lines that are no comments: said by place,
/// for what TOML says of them is no help.
void refuse_blanks(std::string_view text, file::Messages& messages) {
    int line = 1;
    for (std::size_t at = 0; at < text.size(); ++line) {
        const auto end = std::min(text.find('\n', at), text.size());
        const auto written = text.substr(at, end - at);
        const auto blank = written.substr(0, written.find('#')).find("____");
        if (blank != std::string_view::npos) {
            const auto key = written.substr(0, written.find_first_of(" =\t"));
            messages.error({line, static_cast<int>(blank) + 1},
                           fmt::format("{}: ____ is not filled in; write the reading, or # before "
                                       "the line where there is none",
                                       key));
        }
        at = end + 1;
    }
}

}  // namespace

Measured parse_measured(std::string_view text, std::string path, const Case& c) {
    file::Messages messages(path);
    messages.show_in(c.units);
    file::check_text(text, messages);
    Measured measured;
    measured.path = std::move(path);
    measured.text = std::string(text);
    if (!messages.any_error()) {
        refuse_blanks(text, messages);
    }
    const auto table = messages.any_error() ? std::nullopt : file::parse_toml(text, {}, messages);
    if (table && file::is_case_file(*table)) {
        messages.error({1, 1},
                       "this is a case, not a measured file; plenair fit CASE --blank "
                       "measured.toml writes one to fill in");
    } else if (table) {
        geometry::PressureContext surroundings;
        surroundings.barometer = c.barometer;
        surroundings.units = c.units;
        const auto root =
            file::read_scopes_of(file::measured_table(), *table, surroundings, messages);
        if (const auto* format = root.good("format"); format && format->number() != 1) {
            file::refuse(messages, *format, "this version reads format 1; write format = 1");
        }
        const auto folder = std::filesystem::path(measured.path).parent_path();
        measured.title = root.word("measured.title");
        measured.made_up = root.flag("measured.made_up");
        file::MeasuredContext context{c, folder, measured, messages};
        file::build_gauges(root, context);
        file::build_bench_readings(root, context);
        file::build_engine_readings(root, context);
        file::build_logs(root, context);
        if (!messages.any_error() && measured.reading_count() == 0) {
            messages.error(
                {1, 1},
                measured.warnings.empty()
                    ? "no reading in the file; fill in [[gauge]], [[bench]] or [[engine]]"
                    : fmt::format("no reading in the file ({}); add a point to the case "
                                  "where the engine was steady, or other readings here",
                                  fmt::join(measured.warnings, "; ")));
        }
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    auto warnings = messages.warnings();
    warnings.insert(warnings.end(), measured.warnings.begin(), measured.warnings.end());
    measured.warnings = std::move(warnings);
    return measured;
}

Measured read_measured(const std::string& path, const Case& c) {
    return parse_measured(file::read_text(path), file::shown_path(path), c);
}

}  // namespace plenair
