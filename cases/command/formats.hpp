#pragma once

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "cases/command/output_file.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/store/read_solve_file.hpp"
#include "cases/store/store.hpp"
#include "geometry/error.hpp"

/// The formats of output files: their endings, and what writes each.
namespace plenair::command {

enum class FileKind { hdf5, json, csv };

struct FileEnding {
    const char* ending;
    FileKind kind;
};
inline constexpr FileEnding file_endings[] = {
    {".h5", FileKind::hdf5},
    {".json", FileKind::json},
    {".csv", FileKind::csv},
};

/// Kind of a file by its ending; none: another one.
[[nodiscard]] inline std::optional<FileKind> kind_of_file(const std::string& path) {
    for (const FileEnding& known : file_endings) {
        if (std::filesystem::path(path).extension() == known.ending) {
            return known.kind;
        }
    }
    return std::nullopt;
}

/// Whether a file named on the command line is a result of solve, by its ending; else it is a case.
[[nodiscard]] inline bool is_result(const std::string& path) {
    const auto kind = kind_of_file(path);
    return kind == FileKind::hdf5 || kind == FileKind::json;
}

/// Prints what is to be known of the file, unless asked to be quiet. @throws ReadError
[[nodiscard]] inline SolveResult read_result(const std::string& path, bool quiet) {
    if (kind_of_file(path) == FileKind::hdf5) {
        return read_results(path);
    }
    StoredSolve stored = read_solve_json(path);
    if (!quiet) print_warnings(stored.warnings);
    return std::move(stored.result);
}

/// Kind of an output file by its ending.
/// @param use  for the refusal: which endings the verb writes, and an example
/// @throws InputError  for any other ending
[[nodiscard]] inline FileKind file_kind(
    const std::string& path,
    std::string_view use = "use .h5, .json or .csv, for example -o result.h5") {
    if (const auto kind = kind_of_file(path)) {
        return *kind;
    }
    throw InputError({fmt::format("-o {}: the ending decides the format; {}", path, use)});
}

/// Writes a result into a file of the format that its ending names. A verb whose result has no .h5
/// refuses that ending before it computes, with its own words.
/// @throws WriteError, InputError where that was forgotten
template <class Result>
void write_result(const std::string& path, const Result& result) {
    switch (file_kind(path)) {
        case FileKind::hdf5:
            if constexpr (requires { write_results(path, result); }) {
                write_beside(
                    path, [&result](const std::string& beside) { write_results(beside, result); });
                return;
            }
            break;
        case FileKind::json:
            return write_text(path, json_text(result));
        case FileKind::csv:
            return write_text(path, csv_text(result));
    }
    throw InputError({fmt::format(
        "-o {}: this result is written as .json or .csv; use one of these endings", path)});
}

}  // namespace plenair::command
