#pragma once

#include "cases/file/sweep_axes.hpp"
#include "cases/study/choose.hpp"

#include <optional>
#include <string>
#include <vector>

/// Entries of a case that a study may change between bounds: [choose.vary].
namespace plenair::file {

/// One entry between two bounds, or its values at stations.
struct FreeEntry {
    std::vector<EntryPath> paths;  ///< one; or the same entry of every bank
    std::string shown;
    Place place;
    SweepRange range;  ///< bounds as written
    double step = 0;  ///< of the shop, in the unit of the bounds
    std::size_t stations = 0;  ///< 0: one number
    std::optional<double> slope;  ///< largest change per metre, in the unit of the bounds

    [[nodiscard]] std::size_t size() const { return stations == 0 ? 1 : stations; }
};

/// Reads the entries of a table such as [choose.vary]; reports every fault.
/// @param section  its name, for messages
[[nodiscard]] std::vector<FreeEntry> read_free_entries(const Scope& root,
                                                       const std::string& section,
                                                       const toml::table& table,
                                                       const geometry::PressureContext& context,
                                                       Messages& messages);

/// The numbers of one entry in the order of its stations.
[[nodiscard]] std::vector<FreeNumber> free_numbers(const Scope& root,
                                                   const FreeEntry& entry,
                                                   const geometry::PressureContext& context);

/// Puts numbers into the case.
void assign_numbers(Scope& root,
                    const FreeEntry& entry,
                    const std::vector<double>& numbers,
                    const geometry::PressureContext& context);

/// The same as overrides, "slot.width=5.8 mm", one for each bank.
[[nodiscard]] std::vector<std::string> sets_of(const Scope& root,
                                               const FreeEntry& entry,
                                               const std::vector<double>& numbers);

/// Places of the stations along the part, from where its width or section is counted [m].
[[nodiscard]] std::vector<double> station_places(const Scope& root, const FreeEntry& entry);

}  // namespace plenair::file
