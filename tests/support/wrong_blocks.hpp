#pragma once

#include <string>
#include <vector>

/// Wrong inputs with what is said of them, many in one file.
namespace plenair::test {

/// One of them.
struct WrongBlock {
    std::string name;
    std::string input;  ///< text of a file, or a command line
    std::string table;  ///< of the CSV file beside it, if it has one
    std::string said;  ///< one message a line
};

/// Reads blocks of the form
///
///     === name
///     input
///     --- table
///     rows
///     >>> said
///     messages
///
/// where the table may be missing. Lines of # between blocks are remarks; \r and \t, written so,
/// are these characters in a table.
/// @throws std::runtime_error  where a block is not of this form
[[nodiscard]] std::vector<WrongBlock> wrong_blocks(const std::string& path);

}  // namespace plenair::test
