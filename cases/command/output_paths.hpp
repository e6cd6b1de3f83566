#pragma once

#include <string_view>

#include "cases/command/request.hpp"

namespace plenair::command {

/// Before a verb begins: no output of the request is one of its inputs or another output, by
/// whatever spelling or link, none lies among the files a sweep keeps for itself, and --csv has no
/// ending that promises something else than a table.
/// @param verb  its name; sweep and gather write FOLDER/result.h5 without -o
/// @throws InputError  with every fault
void check_output_paths(const Request& request, std::string_view verb);

/// Folder of a sweep: --folder, or the name of its case file with ".sweep".
[[nodiscard]] std::string sweep_folder(const Request& request);

/// Where a sweep's result goes: -o, or result.h5 in its folder.
[[nodiscard]] std::string sweep_result(const Request& request, const std::string& folder);

}  // namespace plenair::command
