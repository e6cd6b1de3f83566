#pragma once

#include "cases/study/case.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/solve_result.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/slot_shop.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

namespace html {

/// A fit and the readings that it was made from.
struct Learned {
    FitResult fit;
    Measured measured;
};

}  // namespace html

/// What the working model of a result needs beside the program itself; made by cases/live.
struct LivePage {
    std::string data;  ///< JSON that may stand in a page: case text, entries, stored figures
    std::string module;  ///< WebAssembly packed by gzip, in base64; empty: not in this build
    std::string worker;  ///< script that runs it
};

/// One result of a report, with what its case text says where it can be read.
struct ReportSource {
    std::string name;  ///< how the result is called among others: its file name without ending
    SolveResult result;
    std::optional<Case> design;  ///< the case of the result, from its case text
    /// All runners of a bank open together on the bench, a bank each; empty: not computed.
    std::vector<BenchResult> bench = {};
    std::vector<geometry::SlotShop> shops = {};  ///< of its slots, a bank each; none: the defaults
    std::optional<html::Learned> learned = {};  ///< what readings of the metal said
    std::optional<LivePage> live = {};  ///< its working model, where there is to be one
};

struct ReportOptions {
    std::string time;  ///< when the report was made, as it shall stand there; empty: no such line
    double target = usual_spread_target;  ///< spread that the verdict asks for [-]
    bool scripts = true;  ///< false: no script at all, for mail; scripted charts are left out
    bool live = true;  ///< false: no working model, and no word about it
};

/// The result as HDF5 and JSON both give it back: ratios and speeds at 12 digits.
[[nodiscard]] SolveResult settled(SolveResult result);

/// The report: one HTML page without any outside address. Equal sources give equal bytes, whether
/// they were read from HDF5 or from JSON. Everything that came from a file stands there as text.
[[nodiscard]] std::string html_text(const std::vector<ReportSource>& sources,
                                    const ReportOptions& options);

}  // namespace plenair
