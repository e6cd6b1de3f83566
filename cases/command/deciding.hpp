#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <utility>

#include "cases/command/interrupt.hpp"
#include "cases/command/request.hpp"
#include "cases/command/terminal_lines.hpp"
#include "geometry/error.hpp"

/// Verbs that answer what a design should be.
namespace plenair::command {

/// -o and --csv of such a verb, which writes no .h5.
/// @param answer, table  what they write: "the answer", "the table of numbers"
void add_answer_files(CLI::App& verb,
                      Request& request,
                      const std::string& answer,
                      const std::string& table);
/// Before computing: every output path is writable and has an ending that the verb writes.
/// @throws InputError, WriteError
void check_answer_files(const Request& request, const std::string& verb);

/// The answer of a study that signals may stop. After one that came, ends the program by it.
/// @throws InputError of the study, unless a stop left it without a result: no fault of the case
template <class Study>
[[nodiscard]] auto answer_of(ProgressLine& progress, const Study& study) {
    std::optional<decltype(study())> result;
    try {
        result = study();
    } catch (const InputError&) {
        if (!stop_wanted().load()) {
            throw;
        }
    }
    progress.clear();
    if (stop_wanted().load()) {
        end_by_interrupt("no answer was written");
    }
    return *std::move(result);
}

}  // namespace plenair::command
