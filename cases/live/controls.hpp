#pragma once

#include <string>
#include <vector>

/// Which entries of a case the working model of a report lets a reader move, and how far.
namespace plenair {

struct Case;

/// One number that moves, in the unit of its entry.
struct LiveNumber {
    std::string label;  ///< "Slot width, far end"
    double value = 0;  ///< as in the case
    double low = 0, high = 0;  ///< ends of the track, whole steps away from `value`
    double step = 0;
    int decimals = 0;  ///< that a step needs
};

/// One entry, with the text that sets it: "{0}" stands for its first number, "{1}" for its second.
struct LiveEntry {
    std::string key;  ///< as after --set: "slot.width", "point.A4.speed"
    std::string point;  ///< name of the point it belongs to; empty: to the case
    std::string unit;  ///< beside the numbers: "mm"
    std::vector<LiveNumber> numbers;  ///< one, or two for the ends of a part
    std::string one;  ///< where all numbers are equal: "{0} mm"
    std::string several;  ///< "{ x = \"0, 388 mm\", value = \"{0}, {1} mm\" }"; empty with one
};

/// Of several banks an entry that is the same in all of them moves in all of them together ("slot
/// width in both banks"); one that differs moves bank by bank.
/// The entries that this case has, of: slot width (both ends), edge radius, land, pre-chamber and
/// plenum section, runner length, throttle bore; speed and pressure of each point. Left out are
/// entries that the file does not hold in that form: a width with three stations, runners of
/// different lengths. The ends of a track are as far as the checks of the case file go, each entry
/// moved alone, and at most about half and twice its value.
[[nodiscard]] std::vector<LiveEntry> live_entries(const Case& c);

}  // namespace plenair
