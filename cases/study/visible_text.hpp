#pragma once

#include <string>
#include <string_view>

namespace plenair {

enum class LineEnds {
    kept,  ///< text of several lines
    written_out  ///< one line: a line end in it is content, not layout
};

/// The text with every character written out that could steer a terminal, hide or reorder what
/// stands beside it: C0 but for the tab, DEL, C1 (ISO/IEC 6429), the bidirectional controls (UAX
/// #9, table 4), line and paragraph separators, invisible format characters, tags, and bytes that
/// are not UTF-8. ESC becomes \x1b, U+202E becomes \u202e.
[[nodiscard]] std::string visible_text(std::string_view text, LineEnds line_ends);

/// Whether a character is one of those, a line end among them.
[[nodiscard]] bool steers_terminal(char32_t code);

/// One character of UTF-8 at the start of a text.
struct Character {
    char32_t code = 0;  ///< of the character; of the byte where it is none
    std::size_t bytes = 1;
    bool valid = false;
};

/// Decodes by RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF.
/// @param text  not empty
[[nodiscard]] Character first_character(std::string_view text);

}  // namespace plenair
