#pragma once

#include <CLI/CLI.hpp>

#include <string>

namespace plenair::command {

/// What is wrong with a command line and what to write, in place of the few words that the library
/// of the command line has for it; empty where those say as much.
[[nodiscard]] std::string usage_fault(const CLI::App& app, const CLI::ParseError& error);

}  // namespace plenair::command
