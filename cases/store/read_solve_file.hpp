#pragma once

#include "cases/study/solve_result.hpp"

#include <string>
#include <vector>

namespace plenair {

/// What a file of `solve -o` holds, and which program wrote it.
struct StoredSolve {
    SolveResult result;
    std::string version;
    std::vector<std::string> warnings;  ///< sentences with the file's name, for who reads it
};

/// Reads a result of solve from .h5 or .json; what is null reads as 0, a missing entry is a
/// fault. JSON without a digest, from another program or an editor, is read and its first point
/// notes it.
/// @throws ReadError  where the file cannot be read, is no result of solve, or has another format
[[nodiscard]] StoredSolve read_solve_file(const std::string& path);
/// The same of JSON, whatever the file is called.
[[nodiscard]] StoredSolve read_solve_json(const std::string& path);

}  // namespace plenair
