#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

/// Remedies of messages, followed to the letter.
namespace plenair::test {

/// Reads a text as one of the inputs. @throws InputError
using Read = std::function<void(const std::string&)>;

/// All that is said of a text that is refused; nothing of one that is read.
[[nodiscard]] std::vector<std::string> messages_of(const Read& read, const std::string& text);

/// Whether a message says what to do.
[[nodiscard]] bool has_remedy(const std::string& message);

/// The line of "FILE:LINE:COLUMN: what" [1 and up]; 0 where the message names none.
[[nodiscard]] std::size_t line_of(const std::string& message);

/// The text of a file with what a message of it says to write; nothing where it says no such thing.
[[nodiscard]] std::optional<std::string> mended(const std::string& text,
                                                const std::string& message);

}  // namespace plenair::test
