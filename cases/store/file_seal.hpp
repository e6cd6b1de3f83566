#pragma once

#include <string>

/// HDF5 checks only parts of a file when it reads, and its library does not survive every damage.
/// So a results file ends in a line with the digest of all bytes before it; HDF5 itself reads only
/// up to the end that its header names, and no other tool sees the line.
namespace plenair {

/// Appends the line. @throws FileError
void seal_file(const std::string& path);

/// @throws ReadError  where the line is missing, or the bytes are not those of which it is the
/// digest
void expect_seal(const std::string& path);

}  // namespace plenair
