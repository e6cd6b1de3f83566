#pragma once

#include <CLI/CLI.hpp>

#include <cstddef>
#include <string>

namespace plenair::command {

/// What an option's number may be.
struct NumberRange {
    double low = 0, high = 0;
    std::string unit;  ///< in words, "%"; empty: none
    std::string example;  ///< "--target 2"
};

/// The one reader of numbers that follow an option: digits with a decimal point, finite and within
/// the range; anything else is refused with the range and the example.
CLI::Option* add_number(CLI::App& verb,
                        const std::string& names,
                        double& target,
                        const NumberRange& range,
                        const std::string& help);

/// The same for whole numbers, in decimal digits alone.
CLI::Option* add_whole_number(CLI::App& verb,
                              const std::string& names,
                              std::size_t& target,
                              const NumberRange& range,
                              const std::string& help);

/// A file, a folder or another text that must not be empty: an empty one is most likely a script's
/// variable that was never set.
CLI::Option* add_name(CLI::App& verb,
                      const std::string& names,
                      std::string& target,
                      const std::string& help);

}  // namespace plenair::command
