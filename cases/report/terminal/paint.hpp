#pragma once

#include "cases/study/visible_text.hpp"

#include <array>
#include <string>
#include <string_view>

namespace plenair {

/// ANSI colours, or none (ECMA-48, select graphic rendition). What is painted cannot paint itself:
/// its own control characters are written out.
class Paint final {
public:
    /// Every sequence that it uses: a terminal is given these and no others.
    static constexpr std::array<std::string_view, 5> sequences{
        "\033[0m", "\033[1m", "\033[1;31m", "\033[33m", "\033[2m"};

    explicit Paint(bool colour) : colour_(colour) {}
    [[nodiscard]] std::string heading(std::string_view text) const { return wrap("1", text); }
    [[nodiscard]] std::string alarm(std::string_view text) const { return wrap("1;31", text); }
    [[nodiscard]] std::string caution(std::string_view text) const { return wrap("33", text); }
    [[nodiscard]] std::string faint(std::string_view text) const { return wrap("2", text); }

private:
    [[nodiscard]] std::string wrap(std::string_view code, std::string_view text) const {
        if (!colour_) return std::string(text);
        return "\033[" + std::string(code) + "m" + visible_text(text, LineEnds::kept) + "\033[0m";
    }
    bool colour_;
};

/// Title, digest and program version: the first lines of every terminal report.
[[nodiscard]] std::string report_head(const Paint& paint,
                                      const std::string& title,
                                      const std::string& case_digest);
/// What follows it where readings were compared: whose they are, whether they are made up, what
/// came out.
[[nodiscard]] std::string readings_head(const Paint& paint,
                                        const std::string& measured_title,
                                        bool made_up,
                                        const std::string& summary);

}  // namespace plenair
