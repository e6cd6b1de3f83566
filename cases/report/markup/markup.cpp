#include "cases/report/markup/markup.hpp"

#include "cases/study/visible_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

namespace plenair::html {

namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";

/// Length of the well-formed UTF-8 sequence at the start of the text, 0 where there is none.
std::size_t sequence_length(std::string_view text) {
    const Character character = first_character(text);
    return character.valid ? character.bytes : 0;
}

std::string_view entity(char sign) {
    switch (sign) {
        case '&':
            return "&amp;";
        case '<':
            return "&lt;";
        case '>':
            return "&gt;";
        case '"':
            return "&quot;";
        case '\'':
            return "&#39;";
        default:
            return {};
    }
}

bool dropped(char sign) {
    const auto code = static_cast<unsigned char>(sign);
    return (code < 0x20 && sign != '\n' && sign != '\t') || code == 0x7F;
}

unsigned hex_value(char digit) {
    return static_cast<unsigned>(digit <= '9' ? digit - '0' : digit - 'a' + 10);
}

}  // namespace

std::string escaped(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const std::size_t length = sequence_length(text);
        const std::string_view sign = text.substr(0, length == 0 ? 1 : length);
        if (length == 0) {
            out += replacement;
        } else if (const auto named = entity(sign[0]); !named.empty()) {
            out += named;
        } else if (length > 1 || !dropped(sign[0])) {
            out += sign;
        }
        text.remove_prefix(sign.size());
    }
    return out;
}

std::string safe_json(std::string_view json) {
    std::string out;
    for (const char sign : json) {
        if (sign == '<' || sign == '>' || sign == '&') {
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(sign));
        } else {
            out += sign;
        }
    }
    return out;
}

std::string policy_source(std::string_view hex_digest) {
    constexpr std::string_view alphabet =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::vector<std::uint32_t> bytes;
    for (std::size_t i = 0; i + 1 < hex_digest.size(); i += 2) {
        bytes.push_back(hex_value(hex_digest[i]) * 16 + hex_value(hex_digest[i + 1]));
    }
    std::string text;
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        const std::size_t left = bytes.size() - i;
        const std::uint32_t group =
            bytes[i] << 16U | (left > 1 ? bytes[i + 1] << 8U : 0U) | (left > 2 ? bytes[i + 2] : 0U);
        const std::array<unsigned, 4> shifts = {18, 12, 6, 0};
        for (std::size_t k = 0; k < shifts.size(); ++k) {
            text += k <= left ? alphabet[group >> shifts[k] & 0x3FU] : '=';
        }
    }
    return "'sha256-" + text + "'";
}

Table::Table(std::string caption, std::vector<std::string> heads)
    : caption_(std::move(caption)), heads_(std::move(heads)) {}

void Table::row(std::vector<Cell> cells) {
    rows_ += "<tr>";
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const auto style = cells[i].style_class.empty()
                               ? std::string()
                               : fmt::format(" class=\"{}\"", cells[i].style_class);
        rows_ += i == 0 ? fmt::format("<th scope=\"row\"{}>{}</th>", style, cells[i].content)
                        : fmt::format("<td{}>{}</td>", style, cells[i].content);
    }
    rows_ += "</tr>\n";
}

std::string Table::text(std::string_view label) const {
    std::string heads;
    for (std::size_t i = 0; i < heads_.size(); ++i) {
        const bool words =
            std::find(word_columns_.begin(), word_columns_.end(), i) != word_columns_.end();
        heads +=
            fmt::format("<th scope=\"col\"{}>{}</th>", words ? " class=\"word\"" : "", heads_[i]);
    }
    // On paper many columns stand in smaller letters.
    const char* columns = heads_.size() > 15   ? " class=\"widest\""
                          : heads_.size() > 12 ? " class=\"wide\""
                                               : "";
    return fmt::format(
        "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"{}\">\n"
        "<table{}><caption><span>{}</span></caption>\n<thead><tr>{}</tr></thead>\n<tbody>\n{}</"
        "tbody></table>\n"
        "</div>\n",
        escaped(label),
        columns,
        caption_,
        heads,
        rows_);
}

std::string section(std::string_view id, std::string_view heading, std::string_view content) {
    return fmt::format(
        "<section id=\"{0}\" aria-labelledby=\"{0}-head\">\n<h2 id=\"{0}-head\">{1}</h2>\n{2}"
        "</section>\n",
        id,
        heading,
        content);
}

std::string list(const std::vector<std::string>& items, std::string_view style_class) {
    if (items.empty()) return "";
    std::string text = style_class.empty() ? std::string("<ul>\n")
                                           : fmt::format("<ul class=\"{}\">\n", style_class);
    for (const auto& item : items) text += "<li>" + item + "</li>\n";
    return text + "</ul>\n";
}

std::string paragraph(std::string_view content, std::string_view style_class) {
    return style_class.empty() ? fmt::format("<p>{}</p>\n", content)
                               : fmt::format("<p class=\"{}\">{}</p>\n", style_class, content);
}

}  // namespace plenair::html
