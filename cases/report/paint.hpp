#pragma once

#include <string>
#include <string_view>

namespace plenair {

/// ANSI colours, or none (ECMA-48, select graphic rendition).
class Paint final {
public:
    explicit Paint(bool colour) : colour_(colour) {}
    [[nodiscard]] std::string heading(std::string_view text) const { return wrap("1", text); }
    [[nodiscard]] std::string alarm(std::string_view text) const { return wrap("1;31", text); }
    [[nodiscard]] std::string caution(std::string_view text) const { return wrap("33", text); }
    [[nodiscard]] std::string faint(std::string_view text) const { return wrap("2", text); }

private:
    [[nodiscard]] std::string wrap(std::string_view code, std::string_view text) const {
        if (!colour_) return std::string(text);
        return "\033[" + std::string(code) + "m" + std::string(text) + "\033[0m";
    }
    bool colour_;
};

/// Title, digest and program version: the first lines of every terminal report.
[[nodiscard]] std::string report_head(const Paint& paint,
                                      const std::string& title,
                                      const std::string& case_digest);

}  // namespace plenair
