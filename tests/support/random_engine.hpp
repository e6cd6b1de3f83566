#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

/// Legal engines drawn at random, as case files. An engine is a pure function of named draws, each
/// a number in [0, 1) made from the seed and the draw's name alone: adding a draw moves no other,
/// and any draw can be set back to its plain value to see whether it matters.
namespace plenair::test {

/// ordinary: 1 to 12 cylinders, bores of 70 to 105 mm, 1,500 to 9,000 rpm, 20 to 400 kPa, every
/// slot and feed. wide: whatever the case file takes and somebody could draw.
enum class EngineRange { ordinary, wide };

/// One draw as it came out.
struct DrawnValue {
    std::string name;
    double plain = 0.5;  ///< position in its range that an unremarkable engine has
    double position = 0.5;  ///< drawn position, 0 to 1
    std::string value;  ///< what it became, with its unit
};

struct RandomEngine {
    std::uint64_t seed = 0;
    EngineRange range = EngineRange::ordinary;
    std::string text;  ///< the case file
    std::vector<DrawnValue> draws;

    /// Draws that are not at their plain value.
    [[nodiscard]] std::vector<DrawnValue> remarkable() const;
};

/// The engine of a seed; `fixed` sets draws by name to a position in their range.
[[nodiscard]] RandomEngine random_engine(EngineRange range,
                                         std::uint64_t seed,
                                         const std::map<std::string, double>& fixed = {});

}  // namespace plenair::test
