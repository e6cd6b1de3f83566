#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "cases/file/start.hpp"
#include "cases/file/sweep.hpp"

namespace plenair::command {

/// What was asked for on the command line.
struct Request {
    std::string case_path;
    std::vector<std::string> sets;  ///< "key=value" overrides of case entries
    std::string units;  ///< --units mm | inch; empty: as the case is written
    std::string vary;  ///< --vary "key=value, value"; empty: none
    std::vector<std::string> points;  ///< --point; empty: all
    std::string other_path;  ///< second case or result of compare; empty: none
    std::string lifts;  ///< bench: --lifts, of the heads alone; empty: the set-ups of the case
    std::string measured;  ///< bench, fit, tolerance: measured file; empty: none
    std::vector<std::string> entries;  ///< fit: --entry; empty: all
    std::string blank;  ///< fit: --blank, an empty measured file; empty: none
    std::string output;  ///< -o: .h5, .json or .csv; empty: none
    std::string csv;  ///< --csv; empty: none
    std::string folder;  ///< of a sweep's store
    std::string part;  ///< "K/N"; empty: all
    std::string precision = "double";  ///< of a sweep's lanes
    std::size_t limit = default_variant_limit;  ///< most variants of a sweep
    std::string bands;  ///< on | off; empty: as the verb has it
    std::string no_slot;  ///< solve, report: on | off; empty: on
    std::string causes;  ///< solve, report: on | off; empty: off with solve, on with report
    double odds = 0;  ///< choose: of made parts [%]; 0: as drawn
    double trim_step = 0.5;  ///< trim: [%]
    std::string map_speeds, map_loads;  ///< trim: axes of the map as written; empty: none
    std::size_t threads = 0;  ///< 0: all cores
    bool json = false;
    bool quiet = false;
    bool traces = false;
    bool schema = false;
    bool sheet = false;
    std::string paper = "any";  ///< any | a4 | letter
    std::vector<std::string> inputs;  ///< report: case or result files
    std::string time;  ///< report: fixes the line that says when it was made
    double target = 2.0;  ///< report: spread that counts as even air [%]
    bool no_scripts = false;  ///< report: static, for mail
    StartRequest start;  ///< start: answers and what else shapes the case
    bool ask = false, assume = false;  ///< start: ask on standard input; ask nothing
    bool no_live = false;  ///< report: without the working model
};

/// --units as an override of the case entry that it stands for; nothing without it.
[[nodiscard]] std::vector<std::string> unit_sets(const Request& request);
/// All overrides: --set and --units.
[[nodiscard]] std::vector<std::string> all_sets(const Request& request);

/// Exit status of the program.
enum class Status {
    done = 0,
    bad_input = 2,
    not_converged = 3,
    no_access = 4,
    internal_fault = 5,
};

}  // namespace plenair::command
