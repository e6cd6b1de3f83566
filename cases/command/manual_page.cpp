#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "cases/command/describe.hpp"

namespace plenair::command {

namespace {

/// Text in which roff sees no request and no escape: a hyphen is one to copy, a leading point or
/// apostrophe is a sign.
std::string roff(const std::string& text) {
    std::string out;
    bool line_begins = true;
    for (const char sign : text) {
        if (line_begins && (sign == '.' || sign == '\'')) {
            out += "\\&";
        }
        line_begins = sign == '\n';
        switch (sign) {
            case '\\':
                out += "\\e";
                break;
            case '-':
                out += "\\-";
                break;
            case '\'':
                out += "\\(aq";
                break;
            case '"':
                out += "\\(dq";
                break;
            default:
                out += sign;
        }
    }
    return out;
}

std::string usage(const DescribedVerb& verb) {
    std::string words;
    for (const auto& option : verb.options) {
        if (option.positional) {
            words += fmt::format(" \\fI{}\\fR", roff(option.value));
        }
    }
    return words;
}

std::string options(const DescribedVerb& verb) {
    std::string out;
    for (const auto& option : verb.options) {
        std::string names;
        for (const auto& name : option.names) {
            names += fmt::format("{}\\fB{}\\fR", names.empty() ? "" : ", ", roff(name));
        }
        if (option.positional) {
            names = fmt::format("\\fI{}\\fR", roff(option.value));
        } else if (!option.value.empty()) {
            names += fmt::format(" \\fI{}\\fR", roff(option.value));
        }
        out += fmt::format(".TP\n{}\n{}\n", names, roff(option.text));
    }
    return out;
}

std::string upper(std::string name) {
    std::transform(name.begin(), name.end(), name.begin(), [](unsigned char sign) {
        return static_cast<char>(std::toupper(sign));
    });
    return name;
}

/// Lines as they stand, set off from the text.
std::string lines(const std::string& text) {
    return text.empty() ? "" : fmt::format(".PP\n.nf\n{}\n.fi\n", roff(text));
}

}  // namespace

std::string manual_page_text(const DescribedCommand& command, const std::string& version) {
    const auto& program = command.front();
    std::string out = fmt::format(
        ".\\\" Made by plenair --manual-page from its own table of options.\n"
        ".TH PLENAIR 1 \"\" \"plenair {}\" \"User Commands\"\n"
        ".SH NAME\nplenair \\- each cylinder\\(aqs share of air in a shared intake\n"
        ".SH SYNOPSIS\n",
        roff(version));
    for (std::size_t i = 1; i < command.size(); ++i) {
        out += fmt::format("{}.B plenair {}\n[\\fIoptions\\fR]{}\n",
                           i > 1 ? ".br\n" : "",
                           roff(command[i].name),
                           usage(command[i]));
    }
    out += fmt::format(".SH DESCRIPTION\n{}\n{}.SH OPTIONS\n{}",
                       roff(program.text),
                       lines(program.footer),
                       options(program));
    for (std::size_t i = 1; i < command.size(); ++i) {
        const auto& verb = command[i];
        out += fmt::format(".SH PLENAIR {}\n{}.\n{}{}",
                           roff(upper(verb.name)),
                           roff(verb.text),
                           options(verb),
                           lines(verb.footer));
    }
    return out +
           ".SH CAUTION\nResults are a calculation, not an approval. Lean running destroys engines "
           "and a plenum\nunder boost stores energy: local codes and licensed professionals "
           "decide.\n";
}

}  // namespace plenair::command
