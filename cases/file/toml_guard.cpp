#include "cases/file/toml_guard.hpp"

#include "cases/study/visible_text.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace plenair::file {
namespace {

constexpr int deepest = 32;  ///< of keys and of brackets; a case needs 5

bool is_key_sign(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-' || c == '.' || c == ' ' || c == '\t';
}

/// What to write in place of characters that word processors and web pages make of plain ones.
std::string plain_sign(char32_t code) {
    switch (code) {
        case 0x201c:
        case 0x201d:
        case 0x201e:
        case 0x201f:
        case 0xab:
        case 0xbb:
            return "a typographic quote; write the straight one, \"";
        case 0x2018:
        case 0x2019:
        case 0x201a:
        case 0x201b:
            return "a typographic quote; write the straight one, '";
        case 0xa0:
        case 0x2002:
        case 0x2003:
        case 0x2007:
        case 0x2009:
        case 0x202f:
        case 0x3000:
            return "a space that is none; write a plain one";
        case 0x2010:
        case 0x2011:
        case 0x2012:
        case 0x2013:
        case 0x2014:
        case 0x2212:
            return "a dash; write the plain minus, -";
        default:
            return {};
    }
}

/// One pass over the text; knows quotes and comments, and no more of TOML.
class Guard final {
public:
    explicit Guard(std::string_view text) : text_(text) {}

    std::optional<SignFault> run() {
        while (at_ < text_.size() && !fault_ && !given_up_) {
            outside();
        }
        return fault_;
    }

private:
    void outside() {
        const char c = text_[at_];
        if (c == '#') {
            at_ = std::min(text_.find('\n', at_), text_.size());
        } else if ((c == '"' || c == '\'') && may_open()) {
            quoted(c);
        } else if ((static_cast<unsigned char>(c) & 0x80U) != 0) {
            foreign();
        } else {
            nest(c);
            ++at_;
        }
    }

    void nest(char c) {
        dots_ = c == '.' ? dots_ + 1 : is_key_sign(c) ? dots_ : 0;
        if (c == '[' || c == '{') {
            ++depth_;
        } else if ((c == ']' || c == '}') && depth_ > 0) {
            --depth_;
        }
        if (dots_ >= deepest) {
            fail(fmt::format("the key has more than {} parts; no key of a case has more than 5",
                             deepest));
        } else if (depth_ > deepest) {
            fail(
                fmt::format("more than {} lists or tables inside one another; close some with ] "
                            "or }}",
                            deepest));
        }
    }

    /// Whether a quote here begins a text. Right behind a letter or digit it does not: the parser
    /// takes it, and what follows, for part of that number or word.
    [[nodiscard]] bool may_open() const {
        return at_ == 0 ||
               std::string_view(" \t\r\n=,.[{").find(text_[at_ - 1]) != std::string_view::npos;
    }

    /// Passes what is in quotes. An open quote ends the check: the parser reads no further either.
    void quoted(char quote) {
        const std::string three(3, quote);
        const bool many_lines = text_.substr(at_, 3) == three;
        at_ += many_lines ? 3 : 1;
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '\\' && quote == '"') {
                at_ += 2;
            } else if (many_lines && text_.substr(at_, 3) == three) {
                at_ += 3;
                // Up to two more belong to the text: """a""""".
                while (at_ < text_.size() && text_[at_] == quote) {
                    ++at_;
                }
                return;
            } else if (!many_lines && c == quote) {
                ++at_;
                return;
            } else if (!many_lines && c == '\n') {
                break;
            } else {
                ++at_;
            }
        }
        given_up_ = true;
    }

    void foreign() {
        const Character c = first_character(text_.substr(at_));
        if (!c.valid) {
            fail(fmt::format("byte {:02X} is no character of UTF-8; save the file as UTF-8",
                             static_cast<unsigned>(c.code)));
            return;
        }
        const std::string sign = plain_sign(c.code);
        const std::string shown = steers_terminal(c.code)
                                      ? std::string()
                                      : fmt::format(" {}", text_.substr(at_, c.bytes));
        const auto code = static_cast<unsigned>(c.code);
        fail(sign.empty()
                 ? fmt::format("the character U+{:04X}{} stands outside quotes; write text "
                               "in quotes, and keys with a-z, 0-9, _ and -",
                               code,
                               shown)
                 : fmt::format("the character U+{:04X} is {}", code, sign));
    }

    void fail(const std::string& what) {
        const auto before = text_.substr(0, at_);
        const auto line_start = before.rfind('\n') + 1;  // npos + 1 is 0
        const auto in_line = before.substr(line_start);
        const auto continued = std::count_if(in_line.begin(), in_line.end(), [](char c) {
            return (static_cast<unsigned char>(c) & 0xc0U) == 0x80;
        });
        const auto lines = std::count(before.begin(), before.end(), '\n');
        fault_ = SignFault{{static_cast<int>(lines) + 1,
                            static_cast<int>(in_line.size()) - static_cast<int>(continued) + 1},
                           what};
    }

    std::string_view text_;
    std::size_t at_ = 0;
    int dots_ = 0, depth_ = 0;
    bool given_up_ = false;
    std::optional<SignFault> fault_;
};

}  // namespace

std::optional<SignFault> sign_fault(std::string_view text) {
    return Guard(text).run();
}

}  // namespace plenair::file
