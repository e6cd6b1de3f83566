#pragma once

#include <CLI/CLI.hpp>

#include "cases/command/request.hpp"

/// Verbs that answer what a design should be.
namespace plenair::command {

// One per verb, beside its run_ function: declares it with its options and an example.
[[nodiscard]] CLI::App* add_choose(CLI::App& app, Request& request);
[[nodiscard]] CLI::App* add_tolerance(CLI::App& app, Request& request);
[[nodiscard]] CLI::App* add_causes(CLI::App& app, Request& request);

// One function per verb. They print, and let errors pass to main.
[[nodiscard]] Status run_choose(const Request& request);
[[nodiscard]] Status run_tolerance(const Request& request);
[[nodiscard]] Status run_causes(const Request& request);

}  // namespace plenair::command
