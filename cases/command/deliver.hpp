#pragma once

#include <fmt/format.h>

#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "cases/store/store.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

/// Before computing: every output path of the request is writable and has a known ending.
/// @throws InputError, WriteError
inline void check_outputs(const Request& request) {
    if (!request.output.empty()) {
        (void)file_kind(request.output);
    }
    for (const auto& path : {request.output, request.csv}) {
        if (!path.empty()) {
            refuse_unwritable(path);
        }
    }
}

/// Prints a result and writes the files that were asked for; a verb whose result has no .h5 refuses
/// that ending before it computes, with its own words.
/// @throws WriteError, InputError where that was forgotten
template <class Result>
void deliver(const Request& request, const Result& result) {
    if (!request.output.empty()) {
        switch (file_kind(request.output)) {
            case FileKind::hdf5:
                if constexpr (requires { write_results(request.output, result); }) {
                    write_beside(request.output, [&result](const std::string& beside) {
                        write_results(beside, result);
                    });
                } else {
                    throw InputError({fmt::format(
                        "-o {}: this result is written as .json or .csv; use one of these endings",
                        request.output)});
                }
                break;
            case FileKind::json:
                write_text(request.output, json_text(result));
                break;
            case FileKind::csv:
                write_text(request.output, csv_text(result));
                break;
        }
    }
    if (!request.csv.empty()) {
        write_text(request.csv, csv_text(result));
    }
    if (request.json) {
        print(json_text(result));
    } else if (!request.quiet) {
        print(terminal_text(result, colour_wanted()));
    }
}

}  // namespace plenair::command
