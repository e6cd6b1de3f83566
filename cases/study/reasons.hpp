#pragma once

#include <string>
#include <vector>

namespace plenair {

/// What a small change of one drawn dimension does at the point with the most spread.
struct Sensitivity {
    std::string key;  ///< "slot.width"
    std::string change;  ///< as a person writes it: "+0.3 mm"
    double spread = 0;  ///< change of the spread [-]
    double slot_loss = 0;  ///< change of the slot loss [Pa]
};

/// Part of the spread that one cause has.
struct CausePart {
    std::string name;  ///< "jet of the feed"
    double spread = 0;  ///< [-]
};

/// Name of what is left with every cause off.
inline constexpr const char* left_over = "left with all switched off";

/// Why the point with the most spread has it, and what moves it.
struct Reasons {
    std::string point;  ///< its name; empty: not asked for, or no point converged
    double spread = 0;  ///< at that point [-]
    std::vector<CausePart> parts;  ///< with what is left they sum to the spread; empty: not known
    double rest = 0;  ///< with every cause off [-]
    std::vector<Sensitivity> sensitivities;  ///< of all drawn dimensions, largest first
    std::string words;  ///< what follows, in sentences
};

}  // namespace plenair
