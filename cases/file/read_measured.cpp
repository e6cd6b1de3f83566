#include "cases/file/build.hpp"
#include "cases/file/build_measured.hpp"
#include "cases/file/measured.hpp"
#include "cases/file/measured_kind.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "geometry/error.hpp"

#include <filesystem>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {

Measured parse_measured(std::string_view text, std::string path, const Case& c) {
    file::Messages messages(path);
    messages.show_in(c.units);
    file::check_text(text, messages);
    Measured measured;
    measured.path = std::move(path);
    measured.text = std::string(text);
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
