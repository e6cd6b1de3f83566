#include "cases/report/words/trim_words.hpp"

namespace plenair {

std::string trim_sign() {
    return "+ is more fuel, - is less; multiplier 1.025 is +2.5 %";
}

std::string trim_start_advice() {
    return "Start: load the trims at half their value, at low load and rich, by cylinder number "
           "(not\n"
           "by firing position). Watch lambda and knock of each cylinder; stop where a sensor and\n"
           "this table disagree.\n";
}

std::string nitrous_limits() {
    return "Estimate: mass of oxygen and fuel from the measured flow alone. Cooling, displaced "
           "air,\n"
           "the way of the jet and how evenly it mixes are not computed.\n";
}

}  // namespace plenair
