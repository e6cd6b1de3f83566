#pragma once

#include "cases/study/solve_result.hpp"

#include <string>
#include <vector>

namespace plenair {

/// The model behind one report: a case, and answers to what its reader asks of it. Compiled into
/// the program and, for the page itself, to WebAssembly; both give the same bits.
///
/// A request is one JSON object:
///   {"id": 7, "kind": "certified", "point": "A4", "set": ["slot.width=5.5 mm"], "parts": ["bias"]}
/// - id     given back with the answer
/// - kind   preview: coarse cells from the last preview's state, to a residual of 2e-4;
///          certified: cold, what `plenair solve --set ...` computes; bands: the same with bands;
///          curve: previews of "values" of one entry "key", without fragments;
///          speeds: the charts of the case's curves over speed from previews, with the line of
///          "target_percent"; choose: which of "values" of the entry "key" keeps the spread within
///          "target_percent" at all "points" for the least slot loss (cases/live/choose_one.hpp)
/// - point  name of an operating point; without it, all points
/// - set    overrides as after --set
/// - parts  fragments of the report to draw (cases/live/fragments.hpp)
///
/// The answer is one JSON object:
///   {"id": 7, "kind": "certified", "ok": true, "bits": "sha256 of the raw results",
///    "solve": {as of solve --json}, "html": {"bias": "<figure>..."}}
///   {"id": 7, "kind": "curve", "ok": true, "curve": [{"value": "5 mm", "ok": true,
///    "spread_percent": 1.2, ...numbers of a point as in solve --json}, ...]}
///   {"id": 8, "kind": "choose", "ok": true, "value": "5.6 mm", "met": true, "words": "5.6 mm keeps
///    ...", "spread_percent": 1.9, "slot_loss_percent": 1.4, "solved": 23}
///   {"id": 7, "kind": "certified", "ok": false, "status": 2, "errors": ["..."]}
/// with the exit status and the error text of the command line. What did not converge is status 3
/// and carries no numbers.
class LiveModel final {
public:
    /// @param case_name  how messages call the case, as the path after `plenair solve`
    LiveModel(std::string case_text, std::string case_name);

    /// Never throws: a fault is an answer (status 5 where the program itself is at fault).
    [[nodiscard]] std::string answer(const std::string& request);

private:
    std::string text_, name_;
    std::vector<double> preview_state_, curve_state_;
};

/// Digest of the bits of every number of these results: equal only where all are equal.
[[nodiscard]] std::string bits_digest(const std::vector<PointResult>& points);

}  // namespace plenair
