#include "solver/march/not_an_engine.hpp"

#include <algorithm>
#include <cstdio>

namespace plenair {

namespace {

std::string numbers(const std::vector<int>& cylinders) {
    std::string text = cylinders.size() == 1 ? "cylinder " : "cylinders ";
    for (std::size_t i = 0; i < cylinders.size(); ++i) {
        text += i == 0 ? "" : i + 1 == cylinders.size() ? " and " : ", ";
        text += std::to_string(cylinders[i]);
    }
    return text;
}

}  // namespace

std::vector<std::string> not_an_engine(const PointResult& result, const Combustion& combustion) {
    std::vector<std::string> notes;
    std::vector<int> diluted;
    std::vector<int> backward;
    double most = 0.0;
    for (const CylinderResult& c : result.cylinders) {
        if (!combustion.motored && !(c.residual_fraction <= largest_dilution)) {
            diluted.push_back(c.cylinder);
            most = std::max(most, c.residual_fraction);
        }
        if (!(c.air_delivered >= 0.0)) {
            backward.push_back(c.cylinder);
        }
    }
    char text[32];
    if (!diluted.empty()) {
        std::snprintf(text, sizeof text, "%.0f %%", 100.0 * most);
        notes.push_back("not a running engine: burned gas is up to " + std::string(text) +
                        " of the charge of " + numbers(diluted) +
                        ", and above 30 % it cannot be counted on to fire");
    }
    if (!backward.empty()) {
        notes.push_back("not a running engine: " + numbers(backward) +
                        " gave back more air than came in");
    }
    if (!(result.volumetric_efficiency >= least_efficiency)) {
        std::snprintf(text, sizeof text, "%.2f", result.volumetric_efficiency);
        notes.push_back("not a running engine: a volumetric efficiency of " + std::string(text) +
                        " is below the 0.2 of idling");
    }
    return notes;
}

}  // namespace plenair
