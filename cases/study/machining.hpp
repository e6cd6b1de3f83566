#pragma once

#include "cases/study/radius_gauge.hpp"
#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"
#include "geometry/slot_shop.hpp"
#include "solver/network/model.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// What a machinist needs to make and measure the slot, and what a deviation costs in slot flow.
namespace plenair {

struct Case;

/// A size and what it may measure [m].
struct SizeLimits {
    double nominal = 0, low = 0, high = 0;
};

/// A place where the slot is measured: of a long slot one of nine, of a row of holes each hole.
struct MachiningStation {
    int number = 1;
    std::size_t piece = 0;  ///< or hole, counted from 0
    double x = 0;  ///< from the inside face of the end wall x = 0 [m]
    SizeLimits width;  ///< of a round hole its diameter
    double go = 0, no_go = 0;  ///< pin gauges, to 0.01 mm or 0.001 in, inside the limits [m]
};

/// Change of the slot's flow at equal pressures, relative, for a size that comes out larger and
/// smaller.
struct FlowChange {
    double larger = 0, smaller = 0;
};

struct MachiningSheet {
    std::string title, case_digest, bank;  ///< bank: as geometry::bank_name gives it
    geometry::Slot slot;
    geometry::SlotShop shop;
    geometry::OutputUnits units;  ///< in which its sizes stand first
    double wall_length = 0;  ///< of the wall that carries the slot [m]
    std::optional<double> wall_height;  ///< the same, between its side faces, where stated [m]
    std::vector<MachiningStation> stations;
    SizeLimits land;
    SizeLimits inlet_radius;
    RadiusGauges gauges;  ///< for the inlet radius
    SizeLimits outlet_radius;  ///< where it is cut
    double outlet_break = 0;  ///< largest radius or chamfer on the plenum side [m]

    double width_step = 5e-5;  ///< [m]; 0.002 in where sizes are in inches
    double radius_step = 1e-4;  ///< [m]; 0.005 in
    FlowChange of_width_step, of_radius_step;
    FlowChange of_width_limit, of_radius_limit;  ///< at the limits of the sheet
    double of_sharp_edge = 0;  ///< inlet edge left sharp in place of the radius
    double of_broken_edge = 0;  ///< a sharp inlet edge broken by `break_step`
    double break_step = 5e-4;  ///< [m]
    double of_ends =
        0;  ///< area of the opening with its ends as made, over that of square ends - 1
    double of_taper_total = 0;  ///< width grown by the taper limit from end to end, mean kept
    double of_taper_ends =
        0;  ///< the same: flow per length at the wide end over the narrow end - 1
};

/// Number of stations along a slot.
inline constexpr int slot_stations = 9;

/// Relative change of Cd x area where every width (round hole: diameter) changes by `width` and the
/// inlet edge radius by `radius` [m]. McGreehan and Schotsch, ASME 87-GT-162 (1988), at a Reynolds
/// number of 1e5 and a small pressure drop; a stated cd is set aside, for it knows no dimension.
/// Sizes below zero count as zero.
[[nodiscard]] double slot_flow_change(const geometry::Slot& slot,
                                      const Model& model,
                                      double width,
                                      double radius);

/// Area of the opening that the rounded corners of its ends take, over its whole area: (4 - pi) r^2
/// for four corners of radius r.
[[nodiscard]] double end_loss(const geometry::Slot& slot, const geometry::SlotShop& shop);

/// Largest break of the outlet edges [m]: as the case states it, else 0.2 mm or 0.008 in (common
/// practice).
[[nodiscard]] double outlet_break(const geometry::Slot& slot, const geometry::OutputUnits& units);

/// Whether the outlet edge is a radius to be cut, larger than what breaks a sharp edge: above 0.5
/// mm (common practice).
[[nodiscard]] bool outlet_is_cut(const geometry::Slot& slot);

/// Where the slot of a bank is measured.
[[nodiscard]] std::vector<MachiningStation> machining_stations(const geometry::Slot& slot,
                                                               const geometry::OutputUnits& units);

/// One sheet for each slot of the case.
/// @param shops  what the case says of its slots for the shop, a bank each; none: the defaults of
/// every key, which are not what a case may say
/// @throws InputError  where there is no slot, or no inlet edge radius, or no land is stated
[[nodiscard]] std::vector<MachiningSheet> machining_sheets(
    const Case& c, const std::vector<geometry::SlotShop>& shops);

}  // namespace plenair
