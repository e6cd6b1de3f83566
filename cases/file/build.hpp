#pragma once

#include "cases/file/document.hpp"
#include "cases/study/case.hpp"

#include <optional>
#include <string>

/// From checked entries to the parts, points and settings of a Case. Each builder also applies the
/// rules that tie several entries together; entries already reported as bad are left out of them.
namespace plenair::file {

/// The valves of a cylinder. @param section "valve.intake" or "valve.exhaust"
[[nodiscard]] geometry::Valve build_valve(const Scope& root,
                                          const std::string& section,
                                          Messages& messages);
/// Parts, points and settings of the whole case, with every check of how they fit together; not its
/// text, digest and echo.
void build_case(const Scope& root, Case& c, Messages& messages);
/// The same for entries that a study exchanges, where a case that cannot be is an answer.
/// @param units  of what is said
/// @return why its parts do not fit together; empty where they do
[[nodiscard]] std::string build_or_say(const Scope& root,
                                       const geometry::OutputUnits& units,
                                       Case& c);
[[nodiscard]] geometry::Engine build_engine(const Scope& root, Messages& messages);
[[nodiscard]] geometry::Throttle build_throttle(const Scope& scope,
                                                bool has_pre_chamber,
                                                Messages& messages);
/// Reports a plate angle, or the smallest of a table, below the throttle's closed stop. @returns
/// whether it is
bool refuse_below_stop(Messages& messages, const Value& angle, const geometry::Throttle& throttle);
/// @param part  "pre_chamber" or "plenum"
[[nodiscard]] geometry::Chamber build_chamber(const Scope& scope,
                                              const std::string& part,
                                              Messages& messages);
[[nodiscard]] geometry::Slot build_slot(const Scope& scope, Messages& messages);
/// A limit for the shop [m]; its default is a whole half thousandth in a case of inches.
[[nodiscard]] double shop_limit(const Scope& scope,
                                const std::string& key,
                                const geometry::OutputUnits& units);
/// Of all its pieces [m]; 0 where no width was read.
[[nodiscard]] double smallest_width(const geometry::Slot& slot);
[[nodiscard]] std::vector<geometry::Runner> build_runners(const Scope& scope, Messages& messages);
[[nodiscard]] geometry::Bank build_bank(const Scope& scope, Messages& messages);
[[nodiscard]] geometry::Intake build_intake(const Scope& root, int cylinders, Messages& messages);
[[nodiscard]] Model build_model(const Scope& root, Messages& messages);
/// Fuel and heat release, the same at every point.
[[nodiscard]] Combustion build_combustion(const Scope& root);
/// Water in the air at a relative humidity outside, by default that of the site.
[[nodiscard]] double outside_humidity(const Scope& root, std::optional<double> humidity);
[[nodiscard]] std::vector<OperatingPoint> build_points(const Scope& root, Messages& messages);
/// Adds the points of every curve, and the curves themselves. @pre the points are built
void build_curves(const Scope& root, Case& c, Messages& messages);
/// Gives every table of back pressure to its points and curves. @pre these are built
void build_exhaust(const Scope& root, Case& c, Messages& messages);
/// Fuel, injectors and nitrous of the case; what they ask of one another.
void build_fuel(const Scope& root, Case& c, Messages& messages);
/// The air before and behind a bench, and how far the throttle stands open.
[[nodiscard]] BenchSettings build_bench_air(const Scope& root, Messages& messages);
[[nodiscard]] std::vector<BenchSettings> build_bench(const Scope& root,
                                                     const geometry::Intake& intake,
                                                     Messages& messages);

/// What a fit said of the coefficients: read, checked, and put into the parts of the case.
void build_learned(const Scope& root, Case& c, Messages& messages);
/// Injectors that full cylinders would ask too much of.
void check_injectors(const Scope& root, const Case& c, Messages& messages);

/// How parts of one bank fit together: mouths inside the plenum, slot inside its walls, clearances.
void check_bank(const Scope& scope, const geometry::Bank& bank, Messages& messages);
/// What a slot says of itself for the shop alone. @pre the bank has one
void check_slot_shop(const Scope& scope, const geometry::Bank& bank, Messages& messages);
/// What the geometry itself finds wrong or unusual, at the places of the entries.
void check_assembly(const Scope& root, const Case& c, Messages& messages);
/// How points fit the engine and the throttle.
void check_points(const Scope& root, const Case& c, Messages& messages);

/// Points that would take more memory or time than there is, before anything is computed.
void check_cost(const Scope& root, const Case& c, Messages& messages);
/// Refuses speeds at which the piston would be faster than any engine's.
void check_piston_speed(const Scope& root, const Case& c, Messages& messages);

/// Reports "key = text: rule" at an entry that was given.
void refuse(Messages& messages, const Value& value, const std::string& rule);
void caution(Messages& messages, const Value& value, const std::string& remark);
/// Name of an entry for messages: "bank.left.slot.width".
[[nodiscard]] std::string shown_key(const Scope& scope, std::string_view key);
/// Stations or constant, shifted by `offset` along x.
[[nodiscard]] geometry::Profile profile_of(const Value& value, double offset = 0);
/// Reports stations that leave a part of [0, length] without a value.
void check_cover(Messages& messages, const Value* value, double length);

}  // namespace plenair::file
