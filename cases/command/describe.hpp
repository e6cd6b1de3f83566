#pragma once

#include <string>
#include <vector>

/// The command line as a table of plain words, for completions and the manual page.
namespace plenair::command {

struct DescribedOption {
    std::vector<std::string> names;  ///< "-o", "--output"; of a positional its name alone
    std::string value;  ///< "FILE"; empty: a flag
    std::vector<std::string> choices;  ///< all values it takes; empty: free
    std::string text;
    bool positional = false;
};

struct DescribedVerb {
    std::string name;  ///< empty: the program itself
    std::string text;
    std::string footer;
    std::vector<DescribedOption> options;  ///< in the order of their declaration
};

/// The program first, then its verbs.
using DescribedCommand = std::vector<DescribedVerb>;

/// Script of completions for "bash", "zsh" or "fish".
[[nodiscard]] std::string completion_text(const DescribedCommand& command,
                                          const std::string& shell);

/// The manual page plenair(1) in roff with the macros of man(7).
/// @param version  as --version says it
[[nodiscard]] std::string manual_page_text(const DescribedCommand& command,
                                           const std::string& version);

}  // namespace plenair::command
