#pragma once

#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// What banks, ends, feeds and rows of cylinders are called: the one home of such words. They
/// follow from the metal; nothing is assumed of where the throttle stands or how cylinders are
/// numbered.
namespace plenair::geometry {

/// The mouths of one bank in the order in which they stand along x.
struct Row {
    std::vector<int> cylinders = {};  ///< numbers, by rising x of their mouths
    /// Of them those at the smallest and at the largest x, more than one where mouths stand side by
    /// side; both empty where all mouths share one x, for such a row has no ends.
    std::vector<int> first = {}, last = {};
};

/// Number of the cylinder behind a runner: as the bank lists it, else counted from 1.
[[nodiscard]] int cylinder_of(const Bank& bank, std::size_t runner);
[[nodiscard]] Row row_of(const Bank& bank);

/// Name of a bank: its own, or "bank 2" where it has none; empty where the intake has one bank.
[[nodiscard]] std::string bank_name(const Intake& intake, std::size_t bank);
/// "left: " before what concerns one bank of several; empty where there is one.
[[nodiscard]] std::string bank_prefix(const std::string& bank_name);
/// What stands before the entries of one bank of several on the command line and in messages:
/// "bank.left.", "bank.2." of one whose name cannot stand in a key; empty where there is one.
[[nodiscard]] std::string entry_prefix(const Intake& intake, std::size_t bank);

/// The two chambers of a bank.
enum class ChamberKind { pre_chamber, plenum };
/// "plenum", of one bank of several "left plenum".
[[nodiscard]] std::string chamber_name(const std::string& bank_name, ChamberKind kind);
/// Whether such a name is that of a plenum.
[[nodiscard]] bool is_plenum(const std::string& chamber_name);
/// "bank left", and "bank 2" of a bank without a name.
[[nodiscard]] std::string bank_words(const std::string& bank_name);

/// Names of the two ends of anything along x.
inline constexpr const char* start_name = "x = 0";
inline constexpr const char* end_name = "the far end";

/// Where all air enters the first chamber of a bank, if that is at one of its end walls.
enum class FeedEnd { none, start, far };
[[nodiscard]] FeedEnd feed_end(const Bank& bank);

/// "at x = 0", "at the far end", "through the side wall at x 165 mm (6.496 in)", of an inch case
/// "... at x 6.496 in (165 mm)".
[[nodiscard]] std::string feed_place(const Throttle& throttle, const OutputUnits& units = {});
/// All feeds of a bank: "the throttle feeds the pre-chamber at x = 0", "throttle 1 feeds the
/// plenum at x = 0, throttle 2 the plenum at the far end", "the pre-chamber is open at x = 0";
/// empty where nothing feeds it.
[[nodiscard]] std::string feed_words(const Bank& bank, const OutputUnits& units = {});
/// Those of all banks, each behind its name: "left: the throttle feeds ...; right: ..."; once where
/// they are alike.
[[nodiscard]] std::string feed_words(const Intake& intake, const OutputUnits& units = {});

/// "1", "1 and 3", "1, 3 and 4"
[[nodiscard]] std::string listed(const std::vector<int>& numbers);
/// "cylinder 4", "cylinders 7 and 8"
[[nodiscard]] std::string cylinder_words(const std::vector<int>& numbers);
/// How the ends of a row compare: "cylinder 8 at the far end minus cylinder 2 at x = 0"; empty for
/// a row without ends.
[[nodiscard]] std::string end_bias_words(const Row& row);

}  // namespace plenair::geometry
