#include "cases/study/visible_text.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace plenair {

namespace {

struct Span {
    char32_t first, last;
};

/// Not controls of one byte, but they act like some.
constexpr std::array hidden{
    Span{0x7f, 0x9f},  // DEL, C1
    Span{0xad, 0xad},  // soft hyphen
    Span{0x61c, 0x61c},  // Arabic letter mark
    Span{0x180e, 0x180e},
    Span{0x200b, 0x200f},  // zero width, left-to-right and right-to-left marks
    Span{0x2028, 0x202e},  // separators, embeddings, overrides
    Span{0x2060, 0x206f},  // invisible operators, isolates
    Span{0xfeff, 0xfeff},  // byte order mark
    Span{0xfff9, 0xfffb},  // interlinear annotation
    Span{0xe0000, 0xe007f},  // tags
};

std::string written_out(const Character& character) {
    const auto code = static_cast<unsigned>(character.code);
    switch (code) {
        case '\n':
            return "\\n";
        case '\r':
            return "\\r";
        default:
            break;
    }
    if (!character.valid || code < 0x80) {
        return fmt::format("\\x{:02x}", code);
    }
    return code > 0xffff ? fmt::format("\\U{:08x}", code) : fmt::format("\\u{:04x}", code);
}

}  // namespace

bool steers_terminal(char32_t code) {
    const bool control = code < 0x20 && code != '\t';
    return control || std::any_of(hidden.begin(), hidden.end(), [code](const Span& span) {
               return code >= span.first && code <= span.last;
           });
}

Character first_character(std::string_view text) {
    const auto byte = [text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const char32_t lead = byte(0);
    if (lead < 0x80) {
        return {lead, 1, true};
    }
    const std::size_t length = lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
    constexpr std::array<char32_t, 5> least{0, 0, 0x80, 0x800, 0x10000};
    if (lead < 0xc2 || lead > 0xf4 || text.size() < length) {
        return {lead, 1, false};
    }
    char32_t code = lead & (0xffU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xc0U) != 0x80) {
            return {lead, 1, false};
        }
        code = (code << 6U) | (byte(i) & 0x3fU);
    }
    const bool surrogate = code >= 0xd800 && code <= 0xdfff;
    if (code < least[length] || surrogate || code > 0x10ffff) {
        return {lead, 1, false};
    }
    return {code, length, true};
}

std::string visible_text(std::string_view text, LineEnds line_ends) {
    std::string shown;
    shown.reserve(text.size());
    while (!text.empty()) {
        const Character character = first_character(text);
        const bool layout = character.code == '\n' && line_ends == LineEnds::kept;
        if (!character.valid || (steers_terminal(character.code) && !layout)) {
            shown += written_out(character);
        } else {
            shown += text.substr(0, character.bytes);
        }
        text.remove_prefix(character.bytes);
    }
    return shown;
}

}  // namespace plenair
