#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "cases/command/request.hpp"

/// Verbs that answer what a design should be.
namespace plenair::command {

// One per verb, beside its run_ function: declares it with its options and an example.
[[nodiscard]] CLI::App* add_choose(CLI::App& app, Request& request);
[[nodiscard]] CLI::App* add_tolerance(CLI::App& app, Request& request);
[[nodiscard]] CLI::App* add_causes(CLI::App& app, Request& request);

/// -o and --csv of such a verb, which writes no .h5.
/// @param answer, table  what they write: "the answer", "the table of numbers"
void add_answer_files(CLI::App& verb,
                      Request& request,
                      const std::string& answer,
                      const std::string& table);
/// Before computing: every output path is writable and has an ending that the verb writes.
/// @throws InputError, WriteError
void check_answer_files(const Request& request, const std::string& verb);

// One function per verb. They print, and let errors pass to main.
[[nodiscard]] Status run_choose(const Request& request);
[[nodiscard]] Status run_tolerance(const Request& request);
[[nodiscard]] Status run_causes(const Request& request);

}  // namespace plenair::command
