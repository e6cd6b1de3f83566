#include "geometry/unit.hpp"

#include <algorithm>
#include <array>
#include <numbers>

namespace plenair::geometry {

namespace {

using enum Dimension;

constexpr double inch = 0.0254;  // exact
constexpr double foot = 12 * inch;
constexpr double pound = 0.45359237;  // exact
constexpr double gravity = 9.80665;  // exact, standard
constexpr double degree = std::numbers::pi / 180;

// NIST SP 811 (2008) appendix B.8 prints psi 6894.757, inHg conventional 3386.389, inH2O
// conventional 249.0889 and mmHg conventional 133.3224; psi is written here from its definition,
// the water column with its next digits.
constexpr std::array table{
    Unit{"mm", length, 1e-3},
    Unit{"cm", length, 1e-2},
    Unit{"m", length, 1},
    Unit{"in", length, inch},
    Unit{"um", length, 1e-6},
    Unit{"mm2", area, 1e-6},
    Unit{"cm2", area, 1e-4},
    Unit{"in2", area, inch* inch},
    Unit{"m2", area, 1},
    Unit{"cc", volume, 1e-6},
    Unit{"L", volume, 1e-3},
    Unit{"in3", volume, inch* inch* inch},
    Unit{"m3", volume, 1},
    Unit{"deg", angle, degree},
    Unit{"rad", angle, 1},
    Unit{"rpm", speed, std::numbers::pi / 30},
    Unit{"rad/s", speed, 1},
    Unit{"kPa", pressure, 1e3},
    Unit{"Pa", pressure, 1},
    Unit{"bar", pressure, 1e5},
    Unit{"mbar", pressure, 100},
    Unit{"psi", pressure, pound* gravity / (inch * inch)},
    Unit{"inHg", pressure, 3386.389},
    Unit{"inH2O", pressure, 249.08891},
    Unit{"mmHg", pressure, 133.3224},
    Unit{"K", temperature, 1},
    Unit{"degC", temperature, 1, 273.15},
    Unit{"degF", temperature, 5.0 / 9.0, 273.15 - 32 * 5.0 / 9.0},
    Unit{"g/s", mass_flow, 1e-3},
    Unit{"kg/s", mass_flow, 1},
    Unit{"kg/h", mass_flow, 1.0 / 3600},
    Unit{"lb/min", mass_flow, pound / 60},
    Unit{"m3/h", volume_flow, 1.0 / 3600},
    Unit{"CFM", volume_flow, foot* foot* foot / 60},
    Unit{"m3/s", volume_flow, 1},
    Unit{"cc/min", fuel_flow, 1e-6 / 60},
    Unit{"lb/h", fuel_flow, pound / 3600},
    Unit{"ms", time, 1e-3},
    Unit{"s", time, 1},
    Unit{"Hz", frequency, 1},
    Unit{"kHz", frequency, 1e3},
    Unit{"%", ratio, 0.01},
    Unit{"kg/m3", density, 1},
    Unit{"kg/L", density, 1e3},
    Unit{"lb/ft3", density, 0.45359237 / (0.3048 * 0.3048 * 0.3048)},
    Unit{"MJ/kg", specific_energy, 1e6},
    Unit{"kJ/kg", specific_energy, 1e3},
    Unit{"J/kg", specific_energy, 1},
    Unit{"mg", mass, 1e-6},
    Unit{"kg", mass, 1},
};

}  // namespace

std::span<const Unit> units() {
    return table;
}

const Unit* find_unit(std::string_view name) {
    const auto found = std::find_if(
        table.begin(), table.end(), [&](const Unit& unit) { return unit.name == name; });
    return found == table.end() ? nullptr : &*found;
}

const Unit* find_unit(std::string_view name, Dimension dimension) {
    const auto* unit = find_unit(name);
    return unit != nullptr && unit->dimension == dimension ? unit : nullptr;
}

}  // namespace plenair::geometry
