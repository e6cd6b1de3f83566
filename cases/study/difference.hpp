#pragma once

#include "cases/study/quantities.hpp"
#include "cases/study/solve_result.hpp"

#include <string>
#include <vector>

namespace plenair {

/// One side of a comparison of two results.
struct Revision {
    std::string path;
    std::string version;  ///< of the program that computed it
    SolveResult result;
    std::vector<std::string> echo;  ///< entries of the case, "slot.width = 6 mm (0.2362 in)"
    std::string echo_fault;  ///< why the entries are not known; empty where they are
};

/// An entry that is not the same on both sides; empty text where a side has none.
struct InputChange {
    std::string key, before, after;
};

/// A number that moved by more than `reported_change`.
struct OutputChange {
    std::string point;
    int cylinder = 0;  ///< 0: of the point
    std::string name, text;  ///< "slot_loss", "slot loss"
    std::string unit;  ///< for people: "kPa", "%", "1"
    std::string units;  ///< of `before` and `after`: "Pa", "1"
    double before = 0, after = 0;  ///< SI
    ChangeKind kind = ChangeKind::relative;
    double change = 0;  ///< after against before, as `kind` says [-]
    double band = 0;  ///< half width within which it cannot be told from none; 0: has no band [-]
    [[nodiscard]] bool inside_band() const { return band > 0 && change <= band && -change <= band; }
};

struct DifferenceResult {
    std::string before_path, after_path;
    std::string before_title, after_title;
    std::string before_digest, after_digest;
    std::string before_version, after_version;
    std::vector<InputChange> inputs;
    std::vector<OutputChange> outputs;
    int compared = 0;  ///< numbers looked at
    std::vector<std::string> warnings;  ///< what makes the two no revisions of one design
    std::string summary;
};

/// Changes below this are not listed: 0.1 %.
inline constexpr double reported_change = 1e-3;

/// What changed in, what changed out. Points are paired by name, cylinders by number; a point that
/// did not converge on either side is left out and named in the warnings. The band of a bias is the
/// larger of those that were computed, else variant_band.
[[nodiscard]] DifferenceResult difference(const Revision& before, const Revision& after);

}  // namespace plenair
