#pragma once

#include <stdexcept>

namespace plenair {

/// A file that cannot be opened or read; the message names the path and the reason.
class ReadError final : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// A file that cannot be written; the message names the path and the reason.
class WriteError final : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

}  // namespace plenair
