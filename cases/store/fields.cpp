#include "cases/store/fields.hpp"

#include <cctype>

namespace plenair {

const std::vector<Field<PointResult>>& point_fields() {
    using P = PointResult;
    constexpr auto hidden = Shown::converged_only;
    static const std::vector<Field<P>> fields = {
        {{"speed", "rad s-1", "crankshaft speed"}, &P::speed},
        {{"source_pressure", "Pa", "total pressure before the throttle"}, &P::source_pressure},
        {{"source_temperature", "K", "total temperature before the throttle"},
         &P::source_temperature},
        {{"periodic_residual", "1", "relative change of the state from cycle to cycle"},
         &P::periodic_residual},
        {{"mass_balance", "1", "mass in - out - stored, over mass in"}, &P::mass_balance},
        {{"energy_balance", "1", "energy in - out - stored, over energy in"}, &P::energy_balance},
        {{"fresh_air_balance", "1", "fresh air in - out - stored, over fresh air in"},
         &P::fresh_air_balance},
        {{"flow_balance", "1", "sum of cylinders - throttle flow, over throttle flow"},
         &P::flow_balance},
        {{"air_flow", "kg s-1", "dry air through the throttle"}, &P::air_flow},
        {{"volumetric_efficiency", "1", "air over swept volume at the source state"},
         &P::volumetric_efficiency},
        {{"spread", "1", "largest minus smallest bias"}, &P::spread, hidden},
        {{"end_bias", "1", "bias of the last minus the first cylinder"}, &P::end_bias, hidden},
        {{"bias_band", "1", "half width of the bias band from model coefficients, 0: not computed"},
         &P::bias_band,
         hidden},
        {{"throttle_loss", "Pa", "total pressure loss of the throttle"}, &P::throttle_loss},
        {{"slot_loss", "Pa", "total pressure loss of the metering slot"}, &P::slot_loss},
        {{"mouth_loss", "Pa", "total pressure loss of the bell mouths"}, &P::mouth_loss},
        {{"port_loss", "Pa", "total pressure loss of runner and port"}, &P::port_loss},
        {{"slot_mach", "1", "peak passage Mach number of the slot"}, &P::slot_mach},
        {{"slot_to_throttle", "1", "effective area of the slot over that of the throttle"},
         &P::slot_to_throttle},
        {{"choke_margin", "1", "1 - peak slot flow over choked flow"}, &P::choke_margin},
        {{"inlet_mach_index", "1", "mean inlet Mach index"}, &P::inlet_mach_index},
    };
    return fields;
}

const std::vector<Field<CylinderResult>>& cylinder_fields() {
    using C = CylinderResult;
    constexpr auto hidden = Shown::converged_only;
    static const std::vector<Field<C>> fields = {
        {{"air_delivered", "kg", "dry fresh air through the intake valves a cycle, net"},
         &C::air_delivered,
         hidden},
        {{"air_trapped", "kg", "dry fresh air in the cylinder at intake closing, a cycle"},
         &C::air_trapped,
         hidden},
        {{"share", "1", "air trapped over that of all cylinders"}, &C::share, hidden},
        {{"bias", "1", "share x number of cylinders - 1"}, &C::bias, hidden},
        {{"residual_fraction", "1", "burned gas over total mass at intake closing"},
         &C::residual_fraction,
         hidden},
        {{"mouth_velocity_peak", "m s-1", "peak velocity in the runner mouth"},
         &C::mouth_velocity_peak,
         hidden},
    };
    return fields;
}

std::string dataset_name(const std::string& text) {
    std::string name;
    for (const char sign : text) {
        const auto code = static_cast<unsigned char>(sign);
        name += std::isalnum(code) != 0 ? static_cast<char>(std::tolower(code)) : '_';
    }
    return name;
}

}  // namespace plenair
