#pragma once

#include "cases/study/visible_text.hpp"

#include <string>
#include <string_view>

namespace plenair::test {

/// The first byte or character of a text that could steer a terminal, and where; empty where there
/// is none. Line ends and tabs are layout.
inline std::string steering_in(std::string_view text) {
    const std::size_t whole = text.size();
    while (!text.empty()) {
        const Character c = first_character(text);
        const bool layout = c.code == '\n' || c.code == '\t';
        if (!c.valid || (steers_terminal(c.code) && !layout)) {
            return std::to_string(static_cast<unsigned long>(c.code)) + " at byte " +
                   std::to_string(whole - text.size());
        }
        text.remove_prefix(c.bytes);
    }
    return {};
}

}  // namespace plenair::test
