#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// Pieces of an HTML page as text. Whatever came from a file goes through escaped().
namespace plenair::html {

/// Text as HTML text or attribute value: & < > " ' become entities, control characters but line end
/// and tab are dropped, bytes that are not UTF-8 become U+FFFD.
[[nodiscard]] std::string escaped(std::string_view text);

/// JSON text for a data block in a page: < > & become \u escapes, so that no tag can begin in it.
[[nodiscard]] std::string safe_json(std::string_view json);

/// Hexadecimal digits of a SHA-256 digest as a source expression of a content security policy:
/// "'sha256-...'" in base64 (RFC 4648).
[[nodiscard]] std::string policy_source(std::string_view hex_digest);

/// One cell: HTML, and class names.
struct Cell {
    std::string content;
    std::string style_class;
};

/// A table that scrolls sideways on narrow screens and can be reached by keyboard. First cell of a
/// row is its head.
class Table final {
public:
    /// @param caption, heads  HTML
    Table(std::string caption, std::vector<std::string> heads);
    void row(std::vector<Cell> cells);
    /// Column that holds words: its head stands to the left as they do.
    void words(std::size_t column) { word_columns_.push_back(column); }
    /// @param label  plain text: what a screen reader says of the scrolling region
    [[nodiscard]] std::string text(std::string_view label) const;

private:
    std::string caption_;
    std::vector<std::string> heads_;
    std::string rows_;
    std::vector<std::size_t> word_columns_;
};

/// A section with its heading. `id` is also the target of the contents list.
[[nodiscard]] std::string section(std::string_view id,
                                  std::string_view heading,
                                  std::string_view content);

/// Items as a bulleted list, empty without items. HTML in, HTML out.
[[nodiscard]] std::string list(const std::vector<std::string>& items,
                               std::string_view style_class = "");

[[nodiscard]] std::string paragraph(std::string_view content, std::string_view style_class = "");

}  // namespace plenair::html
