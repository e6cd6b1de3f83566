#pragma once

#include "cases/command/formats.hpp"
#include "cases/command/output_file.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"

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

/// Prints a result and writes the files that were asked for.
/// @throws WriteError
template <class Result>
void deliver(const Request& request, const Result& result) {
    if (!request.output.empty()) {
        write_result(request.output, result);
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
