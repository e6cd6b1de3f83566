#pragma once

#include <CLI/CLI.hpp>

#include "cases/command/request.hpp"

/// All verbs of the program; each has a file of its own.
namespace plenair::command {

/// Declares a verb with its options and an example.
using AddVerb = CLI::App*(CLI::App& app, Request& request);
/// Does it: prints, and lets errors pass to main.
using RunVerb = Status(const Request& request);

AddVerb add_start;
RunVerb run_start;
AddVerb add_check;
RunVerb run_check;
AddVerb add_solve;
RunVerb run_solve;
AddVerb add_bench;
RunVerb run_bench;
AddVerb add_transient;
RunVerb run_transient;
AddVerb add_response;
RunVerb run_response;
AddVerb add_compare;
RunVerb run_compare;
AddVerb add_trim;
RunVerb run_trim;
AddVerb add_fit;
RunVerb run_fit;
AddVerb add_sweep;
RunVerb run_sweep;
AddVerb add_gather;
RunVerb run_gather;
AddVerb add_choose;
RunVerb run_choose;
AddVerb add_tolerance;
RunVerb run_tolerance;
AddVerb add_causes;
RunVerb run_causes;
AddVerb add_draw;
RunVerb run_draw;
AddVerb add_report;
RunVerb run_report;

struct VerbFunctions {
    AddVerb* add;
    RunVerb* run;
};
/// In the order of the help.
inline constexpr VerbFunctions verb_functions[] = {
    {add_start, run_start},
    {add_check, run_check},
    {add_solve, run_solve},
    {add_bench, run_bench},
    {add_transient, run_transient},
    {add_response, run_response},
    {add_compare, run_compare},
    {add_trim, run_trim},
    {add_fit, run_fit},
    {add_sweep, run_sweep},
    {add_gather, run_gather},
    {add_choose, run_choose},
    {add_tolerance, run_tolerance},
    {add_causes, run_causes},
    {add_draw, run_draw},
    {add_report, run_report},
};

}  // namespace plenair::command
