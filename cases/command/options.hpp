#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "cases/command/describe.hpp"
#include "cases/command/request.hpp"

namespace plenair::command {

/// The table of all verbs and options, as CLI11 has it.
[[nodiscard]] DescribedCommand described_command(const CLI::App& app);

/// Single options, for verbs that have not all of the common ones.
void add_set_option(CLI::App& verb, Request& request);
void add_units_option(CLI::App& verb, Request& request);
/// --point, may be repeated.
void add_point_option(CLI::App& verb, Request& request);
void add_threads_option(CLI::App& verb, Request& request);
/// Options that every verb on a case has: case file, --set, --quiet.
void add_case_options(CLI::App& verb, Request& request);
/// The same, with --json and --threads for those that compute.
void add_common_options(CLI::App& verb, Request& request);
/// --csv.
void add_csv_option(CLI::App& verb,
                    Request& request,
                    const std::string& what = "Write the table as CSV as well");
/// --causes. @param usual  what holds without it
void add_causes_option(CLI::App& verb, Request& request, const std::string& usual);
/// -o and --csv.
void add_result_files(CLI::App& verb, Request& request);

}  // namespace plenair::command
