#pragma once

#include <string_view>

namespace plenair {

/// What the build put together from cases/report/charts/: see docs/decisions/report-charts.md.
struct Charts {
    std::string_view style;  ///< style sheet of the report
    std::string_view slot_tables;  ///< of it what the machining sheet has, too
    std::string_view style_digest;  ///< SHA-256, hexadecimal
    std::string_view script;  ///< charts with the libraries they use; empty where the build had no
                              ///< bundler
    std::string_view script_digest;
    std::string_view live_script;  ///< the same with the controls of the working model
    std::string_view live_script_digest;
    std::string_view licence;  ///< of the libraries in the script
};

[[nodiscard]] const Charts& charts();

}  // namespace plenair
