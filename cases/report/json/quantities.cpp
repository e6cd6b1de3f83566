#include "cases/report/json/quantities.hpp"

#include <string>
#include <utility>

namespace plenair {

namespace {

/// Sets a field, or one of an object where the name has a dot: "loss_pa.slot".
void set(Json& json, const std::string& name, Json value) {
    const auto dot = name.find('.');
    Json& field =
        dot == std::string::npos ? json[name] : json[name.substr(0, dot)][name.substr(dot + 1)];
    field = std::move(value);
}

/// A band that was not computed is null, for 0 would claim certainty.
template <class Result>
void add(Json& json, const Quantity<Result>& quantity, const Result& result, bool converged) {
    if (quantity.shown != Shown::always && !converged) return;
    const double value = result.*quantity.member;
    set(json,
        quantity.json,
        quantity.shows(converged, value) ? json_number(quantity.to_exchanged(value))
                                         : Json(nullptr));
}

}  // namespace

void add_quantities(Json& json, const PointResult& point, bool conditions) {
    for (const auto& quantity : point_quantities()) {
        if ((quantity.line == Line::condition) == conditions) {
            add(json, quantity, point, point.converged);
        }
    }
}

void add_quantities(Json& json, const BandPart& part) {
    for (const auto& quantity : band_part_quantities()) add(json, quantity, part, true);
}

void add_quantities(Json& json, const BankResult& bank, bool converged) {
    for (const auto& quantity : bank_quantities()) add(json, quantity, bank, converged);
}

void add_quantities(Json& json, const CylinderResult& cylinder, bool converged) {
    for (const auto& quantity : cylinder_quantities()) add(json, quantity, cylinder, converged);
}

}  // namespace plenair
