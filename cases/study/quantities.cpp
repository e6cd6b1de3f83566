#include "cases/study/quantities.hpp"

#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <iterator>

namespace plenair {

namespace {

using P = PointResult;
using C = CylinderResult;
using K = BankResult;
using enum Shown;
using enum ChangeKind;

// clang-format off
constexpr Quantity<P> of_point[] = {
    {.name = "speed", .units = "rad s-1", .long_name = "crankshaft speed", .member = &P::speed,
     .json = "speed_rpm", .csv = "speed_rpm", .csv_unit = "rpm", .exchanged = "rpm",
     .words = "speed", .unit = "rpm",
     .line = Line::condition, .phrase = "{}", .change = not_compared},
    {.name = "source_pressure", .units = "Pa",
     .long_name = "total pressure before the throttle", .member = &P::source_pressure,
     .json = "source_pressure_pa", .csv = "source_pressure_kpa", .csv_unit = "kPa",
     .words = "pressure before the throttle", .unit = "kPa", .digits = 1,
     .line = Line::condition, .phrase = "{} abs", .change = not_compared},
    {.name = "source_temperature", .units = "K",
     .long_name = "total temperature before the throttle", .member = &P::source_temperature,
     .json = "source_temperature_k", .csv = "source_temperature_degc", .csv_unit = "degC",
     .words = "temperature before the throttle", .unit = "K", .also = "degC", .digits = 1,
     .line = Line::condition, .phrase = "{} before the throttle", .change = not_compared},
    {.name = "periodic_residual", .units = "1",
     .long_name = "relative change of the state from cycle to cycle",
     .member = &P::periodic_residual,
     .json = "periodic_residual", .csv = "periodic_residual_ratio",
     .words = "periodic residual", .unit = "1", .form = Form::scientific,
     .line = Line::periodicity, .phrase = "periodic residual {}", .change = not_compared},
    {.name = "share_error", .units = "1",
     .long_name = "estimated error of a bias from cycles not yet computed",
     .member = &P::share_error,
     .json = "share_error_percent", .csv = "share_error_percent", .csv_unit = "%", .exchanged = "%",
     .words = "error of the shares", .unit = "%", .digits = 4,
     .line = Line::periodicity, .phrase = "shares known to {}",
     .shown = converged, .change = not_compared},
    {.name = "mass_balance", .units = "1", .long_name = "mass in - out - stored, over mass in",
     .member = &P::mass_balance,
     .json = "mass_balance", .csv = "mass_balance_ratio",
     .words = "mass balance", .unit = "1", .form = Form::scientific,
     .line = Line::balances, .phrase = "mass {}", .change = not_compared},
    {.name = "energy_balance", .units = "1",
     .long_name = "energy in - out - stored, over energy in", .member = &P::energy_balance,
     .json = "energy_balance", .csv = "energy_balance_ratio",
     .words = "energy balance", .unit = "1", .form = Form::scientific,
     .line = Line::balances, .phrase = "energy {}", .change = not_compared},
    {.name = "fresh_air_balance", .units = "1",
     .long_name = "fresh air in - out - stored, over fresh air in",
     .member = &P::fresh_air_balance,
     .json = "fresh_air_balance", .csv = "fresh_air_balance_ratio",
     .words = "fresh air balance", .unit = "1", .form = Form::scientific,
     .line = Line::balances, .phrase = "fresh air {}", .change = not_compared},
    {.name = "flow_balance", .units = "1",
     .long_name = "sum of cylinders - throttle flow, over throttle flow",
     .member = &P::flow_balance,
     .json = "flow_balance", .csv = "flow_balance_ratio",
     .words = "flow balance", .unit = "1", .form = Form::scientific,
     .line = Line::balances, .phrase = "flow {}", .change = not_compared},
    {.name = "air_flow", .units = "kg s-1", .long_name = "dry air through the throttle",
     .member = &P::air_flow,
     .json = "air_flow_kg_s", .csv = "air_flow_g_s", .csv_unit = "g/s",
     .words = "air flow", .unit = "g/s", .also = "lb/min", .digits = 1,
     .line = Line::air_flow, .phrase = "{}"},
    {.name = "volumetric_efficiency", .units = "1",
     .long_name = "air over swept volume at the source state",
     .member = &P::volumetric_efficiency,
     .json = "volumetric_efficiency", .csv = "volumetric_efficiency_ratio",
     .words = "VE", .unit = "1", .digits = 3,
     .line = Line::air_flow, .phrase = "VE {}"},
    {.name = "spread", .units = "1", .long_name = "largest minus smallest bias",
     .member = &P::spread,
     .json = "spread_percent", .csv = "spread_percent", .csv_unit = "%", .exchanged = "%",
     .words = "spread", .unit = "%", .digits = 1,
     .line = Line::spread, .phrase = "{}", .shown = converged, .change = of_mean_air},
    {.name = "end_bias", .units = "1",
     .long_name = "bias at the far end minus that at x = 0 of the row of cylinders; of several "
                  "banks that of the largest size",
     .member = &P::end_bias,
     .json = "end_bias_percent", .csv = "end_bias_percent", .csv_unit = "%", .exchanged = "%",
     .words = "end bias", .unit = "%", .digits = 1, .form = Form::with_sign,
     .line = Line::end_bias, .phrase = "{}",
     .shown = converged, .change = of_mean_air},
    {.name = "no_slot_spread", .units = "1",
     .long_name = "spread without slot, one plenum with the section of both chambers, 0: not "
                  "computed",
     .member = &P::no_slot_spread,
     .json = "no_slot_spread_percent", .csv = "no_slot_spread_percent", .csv_unit = "%", .exchanged = "%",
     .words = "spread without slot", .unit = "%", .digits = 1,
     .line = Line::no_slot, .phrase = "spread {}", .shown = with_no_slot, .change = not_compared,
     .younger = true},
    {.name = "no_slot_air_flow", .units = "kg s-1",
     .long_name = "dry air through the throttle without slot, 0: not computed",
     .member = &P::no_slot_air_flow,
     .json = "no_slot_air_flow_kg_s", .csv = "no_slot_air_flow_g_s",
     .csv_unit = "g/s",
     .words = "air flow without slot", .unit = "g/s", .also = "lb/min", .digits = 1,
     .line = Line::no_slot, .phrase = "air flow {}", .shown = with_no_slot,
     .change = not_compared, .younger = true},
    {.name = "bias_band", .units = "1",
     .long_name = "half width of the band of any cylinder's bias at 95 %, 0: not computed",
     .member = &P::bias_band,
     .json = "bias_band_percent", .csv = "bias_band_percent", .csv_unit = "%", .exchanged = "%",
     .words = "band of the bias", .unit = "%", .digits = 1,
     .line = Line::band, .phrase = "{} of a bias",
     .shown = with_band, .change = not_compared},
    {.name = "spread_band", .units = "1",
     .long_name = "half width of the band of the spread at 95 %, 0: not computed",
     .member = &P::spread_band,
     .json = "spread_band_percent", .csv = "spread_band_percent", .csv_unit = "%", .exchanged = "%",
     .words = "band of the spread", .unit = "%", .digits = 1,
     .line = Line::band, .phrase = "{} of the spread",
     .shown = with_band, .change = not_compared, .younger = true},
    {.name = "air_band", .units = "1",
     .long_name = "half width of the band of the air flow at 95 %, part of it, 0: not computed",
     .member = &P::air_band,
     .json = "air_band_percent", .csv = "air_band_percent", .csv_unit = "%", .exchanged = "%",
     .words = "band of the air flow", .unit = "%", .digits = 1,
     .line = Line::band, .phrase = "{} of the air",
     .shown = with_band, .change = not_compared, .younger = true},
    {.name = "slot_loss_band", .units = "Pa",
     .long_name = "half width of the band of the slot loss at 95 %, 0: not computed or no slot",
     .member = &P::slot_loss_band,
     .json = "slot_loss_band_pa", .csv = "slot_loss_band_kpa", .csv_unit = "kPa",
     .words = "band of the slot loss", .unit = "kPa", .digits = 2,
     .line = Line::band, .phrase = "slot loss {}",
     .shown = with_band, .change = not_compared, .younger = true},
    {.name = "throttle_loss", .units = "Pa", .long_name = "total pressure loss of the throttle",
     .member = &P::throttle_loss,
     .json = "loss_pa.throttle", .csv = "throttle_loss_kpa", .csv_unit = "kPa",
     .words = "throttle loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "throttle {}"},
    {.name = "slot_loss", .units = "Pa",
     .long_name = "total pressure loss of the metering slot", .member = &P::slot_loss,
     .json = "loss_pa.slot", .csv = "slot_loss_kpa", .csv_unit = "kPa",
     .words = "slot loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "slot {}"},
    {.name = "mouth_loss", .units = "Pa", .long_name = "total pressure loss of the bell mouths",
     .member = &P::mouth_loss,
     .json = "loss_pa.mouth", .csv = "mouth_loss_kpa", .csv_unit = "kPa",
     .words = "mouth loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "mouth {}"},
    {.name = "port_loss", .units = "Pa", .long_name = "total pressure loss of runner and port",
     .member = &P::port_loss,
     .json = "loss_pa.port", .csv = "port_loss_kpa", .csv_unit = "kPa",
     .words = "runner and port loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "runner and port {}"},
    {.name = "slot_mach", .units = "1", .long_name = "peak passage Mach number of the slot",
     .member = &P::slot_mach,
     .json = "slot_mach", .csv = "slot_mach_ratio",
     .words = "slot peak Mach", .unit = "1", .digits = 2,
     .line = Line::slot, .phrase = "peak Mach {}"},
    {.name = "slot_to_throttle", .units = "1",
     .long_name = "effective area of the slot over that of the throttle",
     .member = &P::slot_to_throttle,
     .json = "slot_to_throttle_area_ratio", .csv = "slot_to_throttle_area_ratio",
     .words = "slot over throttle area", .unit = "1", .digits = 2,
     .line = Line::slot, .phrase = "effective area {} of throttle"},
    {.name = "choke_margin", .units = "1", .long_name = "1 - peak slot flow over choked flow",
     .member = &P::choke_margin,
     .json = "choke_margin", .csv = "choke_margin_ratio",
     .words = "choke margin", .unit = "%", .digits = 1,
     .line = Line::slot, .phrase = "choke margin {}"},
    {.name = "inlet_mach_index", .units = "1", .long_name = "mean inlet Mach index",
     .member = &P::inlet_mach_index,
     .json = "inlet_mach_index", .csv = "inlet_mach_index_ratio",
     .words = "mean inlet Mach index", .unit = "1", .digits = 2,
     .line = Line::valves, .phrase = "mean inlet Mach index {}"},
};

constexpr Quantity<C> of_cylinder[] = {
    {.name = "air_delivered", .units = "kg",
     .long_name = "dry fresh air through the intake valves a cycle, net",
     .member = &C::air_delivered,
     .json = "air_delivered_kg", .csv = "air_delivered_mg_cycle", .csv_unit = "mg",
     .words = "air delivered", .unit = "mg", .per = "/cycle", .digits = 1,
     .line = Line::column, .phrase = "delivered", .shown = converged},
    {.name = "air_trapped", .units = "kg",
     .long_name = "dry fresh air in the cylinder at intake closing, a cycle",
     .member = &C::air_trapped,
     .json = "air_trapped_kg", .csv = "air_trapped_mg_cycle", .csv_unit = "mg",
     .words = "air trapped", .unit = "mg", .per = "/cycle", .digits = 1,
     .line = Line::column, .phrase = "trapped", .shown = converged},
    {.name = "share", .units = "1", .long_name = "air trapped over that of all cylinders",
     .member = &C::share,
     .json = "share", .csv = "share_ratio",
     .words = "share", .unit = "%", .digits = 1,
     .line = Line::column, .phrase = "share", .shown = converged, .change = not_compared},
    {.name = "bias", .units = "1", .long_name = "share x number of cylinders - 1",
     .member = &C::bias,
     .json = "bias_percent", .csv = "bias_percent", .csv_unit = "%", .exchanged = "%",
     .words = "bias", .unit = "%", .digits = 1, .form = Form::with_sign,
     .line = Line::column, .phrase = "bias", .shown = converged, .change = of_mean_air},
    {.name = "bank_bias", .units = "1",
     .long_name = "air trapped over the mean of the cylinders of its bank - 1",
     .member = &C::bank_bias,
     .json = "bank_bias_percent", .csv = "bank_bias_percent", .csv_unit = "%", .exchanged = "%",
     .words = "bias in its bank", .unit = "%", .digits = 1, .form = Form::with_sign,
     .line = Line::column, .phrase = "in bank", .shown = converged, .change = not_compared,
     .of_banks = true, .younger = true},
    {.name = "residual_fraction", .units = "1",
     .long_name = "burned gas over total mass at intake closing",
     .member = &C::residual_fraction,
     .json = "residual_fraction", .csv = "residual_fraction_ratio",
     .words = "burned gas", .unit = "%", .digits = 1,
     .line = Line::column, .phrase = "burned", .shown = converged},
    {.name = "mouth_velocity_peak", .units = "m s-1",
     .long_name = "peak velocity in the runner mouth", .member = &C::mouth_velocity_peak,
     .json = "mouth_velocity_peak_m_s", .csv = "mouth_velocity_peak_m_s",
     .words = "peak mouth velocity", .unit = "m/s",
     .line = Line::column, .phrase = "mouth", .shown = converged},
};

using B = BandPart;
constexpr Quantity<B> of_band_part[] = {
    {.name = "band_part_bias", .units = "1",
     .long_name = "part of the band of any cylinder's bias", .member = &B::bias,
     .json = "bias_percent", .csv = "", .exchanged = "%",
     .words = "bias", .unit = "%", .digits = 2,
     .line = Line::band, .phrase = "bias", .shown = converged, .change = not_compared},
    {.name = "band_part_air", .units = "1",
     .long_name = "part of the band of the air flow", .member = &B::air,
     .json = "air_percent", .csv = "", .exchanged = "%",
     .words = "air", .unit = "%", .digits = 2,
     .line = Line::band, .phrase = "air", .shown = converged, .change = not_compared},
    {.name = "band_part_spread", .units = "1",
     .long_name = "part of the band of the spread", .member = &B::spread,
     .json = "spread_percent", .csv = "", .exchanged = "%",
     .words = "spread", .unit = "%", .digits = 2,
     .line = Line::band, .phrase = "spread", .shown = converged, .change = not_compared},
    {.name = "band_part_slot_loss", .units = "Pa",
     .long_name = "part of the band of the slot loss", .member = &B::slot_loss,
     .json = "slot_loss_pa", .csv = "",
     .words = "slot loss", .unit = "kPa", .digits = 2,
     .line = Line::band, .phrase = "slot loss", .shown = converged, .change = not_compared},
};

constexpr Quantity<K> of_bank[] = {
    {.name = "bank_air_flow", .units = "kg s-1", .long_name = "dry air to the cylinders of a bank",
     .member = &K::air_flow,
     .json = "air_flow_kg_s", .csv = "bank_air_flow_g_s", .csv_unit = "g/s",
     .words = "air flow", .unit = "g/s", .also = "lb/min", .digits = 1,
     .line = Line::air_flow, .phrase = "air flow", .shown = converged},
    {.name = "bank_share", .units = "1", .long_name = "air trapped over that of all cylinders",
     .member = &K::share,
     .json = "share", .csv = "bank_share_ratio",
     .words = "share", .unit = "%", .digits = 1,
     .line = Line::column, .phrase = "share", .shown = converged, .change = not_compared},
    {.name = "bank_mean_bias", .units = "1",
     .long_name = "air trapped a cylinder of the bank over the mean of all cylinders - 1",
     .member = &K::bias,
     .json = "bias_percent", .csv = "bank_mean_bias_percent", .csv_unit = "%", .exchanged = "%",
     .words = "bias", .unit = "%", .digits = 1, .form = Form::with_sign,
     .line = Line::column, .phrase = "bias", .shown = converged, .change = of_mean_air},
    {.name = "bank_spread", .units = "1",
     .long_name = "largest minus smallest bias within the bank", .member = &K::spread,
     .json = "spread_percent", .csv = "bank_spread_percent", .csv_unit = "%", .exchanged = "%",
     .words = "spread", .unit = "%", .digits = 1,
     .line = Line::spread, .phrase = "spread", .shown = converged, .change = of_mean_air},
    {.name = "bank_end_bias", .units = "1",
     .long_name = "bias within the bank at the far end minus that at x = 0",
     .member = &K::end_bias,
     .json = "end_bias_percent", .csv = "bank_end_bias_percent", .csv_unit = "%", .exchanged = "%",
     .words = "end bias", .unit = "%", .digits = 1, .form = Form::with_sign,
     .line = Line::end_bias, .phrase = "end bias", .shown = converged, .change = of_mean_air},
    {.name = "bank_throttle_loss", .units = "Pa",
     .long_name = "total pressure loss of the throttles of a bank", .member = &K::throttle_loss,
     .json = "throttle_loss_pa", .csv = "bank_throttle_loss_kpa", .csv_unit = "kPa",
     .words = "throttle loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "throttle", .shown = converged, .younger = true},
    {.name = "bank_slot_loss", .units = "Pa",
     .long_name = "total pressure loss of the metering slot of a bank", .member = &K::slot_loss,
     .json = "slot_loss_pa", .csv = "bank_slot_loss_kpa", .csv_unit = "kPa",
     .words = "slot loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "slot", .shown = converged, .younger = true},
    {.name = "bank_mouth_loss", .units = "Pa",
     .long_name = "total pressure loss of the bell mouths of a bank", .member = &K::mouth_loss,
     .json = "mouth_loss_pa", .csv = "bank_mouth_loss_kpa", .csv_unit = "kPa",
     .words = "mouth loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "mouth", .shown = converged, .younger = true},
    {.name = "bank_port_loss", .units = "Pa",
     .long_name = "total pressure loss of runners and ports of a bank", .member = &K::port_loss,
     .json = "port_loss_pa", .csv = "bank_port_loss_kpa", .csv_unit = "kPa",
     .words = "runner and port loss", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "runner and port", .shown = converged, .younger = true},
    {.name = "bank_total_loss", .units = "Pa",
     .long_name = "total pressure loss from before the throttles to the valves of a bank",
     .member = &K::total_loss,
     .json = "total_loss_pa", .csv = "bank_total_loss_kpa", .csv_unit = "kPa",
     .words = "losses together", .unit = "kPa", .digits = 2,
     .line = Line::losses, .phrase = "together", .shown = converged, .younger = true},
};
// clang-format on

}  // namespace

const std::vector<Quantity<BandPart>>& band_part_quantities() {
    static const std::vector<Quantity<B>> quantities(std::begin(of_band_part),
                                                     std::end(of_band_part));
    return quantities;
}

const std::vector<Quantity<PointResult>>& point_quantities() {
    static const std::vector<Quantity<P>> quantities(std::begin(of_point), std::end(of_point));
    return quantities;
}

const std::vector<Quantity<CylinderResult>>& cylinder_quantities() {
    static const std::vector<Quantity<C>> quantities(std::begin(of_cylinder),
                                                     std::end(of_cylinder));
    return quantities;
}

const std::vector<Quantity<BankResult>>& bank_quantities() {
    static const std::vector<Quantity<K>> quantities(std::begin(of_bank), std::end(of_bank));
    return quantities;
}

double converted(double value, const char* unit) {
    const double exact = geometry::to_unit(value, unit);
    if (!std::isfinite(exact)) return exact;
    const std::string text = fmt::format("{:.12g}", exact);
    double tidy = 0;
    std::from_chars(text.data(), text.data() + text.size(), tidy);
    return tidy;
}

double for_people(double value, const std::string& unit) {
    return unit == "1" || unit == "m/s" ? value : geometry::to_unit(value, unit);
}

template <class Result>
double Quantity<Result>::to_exchanged(double value) const {
    return *exchanged == '\0' ? value : converted(value, exchanged);
}

template <class Result>
double Quantity<Result>::to_csv(double value) const {
    return *csv_unit == '\0' ? value : converted(value, csv_unit);
}

template <class Result>
double Quantity<Result>::from_exchanged(double value) const {
    return *exchanged == '\0' ? value : geometry::from_unit(value, exchanged);
}

template struct Quantity<PointResult>;
template struct Quantity<CylinderResult>;
template struct Quantity<BandPart>;
template struct Quantity<BankResult>;

}  // namespace plenair
