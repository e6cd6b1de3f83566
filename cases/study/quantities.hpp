#pragma once

#include "solver/march/result.hpp"

#include <limits>
#include <string>
#include <vector>

namespace plenair {

/// When a number of a result stands for itself.
enum class Shown {
    always,
    converged,  ///< only in a point that converged
    with_band,  ///< only there, and only where bands were computed: 0 means not computed
    with_no_slot  ///< the same where the point was computed without its slot too
};

/// How the change of a quantity between two results is measured.
enum class ChangeKind {
    not_compared,  ///< a condition, or a measure of the computation
    relative,  ///< over the value before, or after where that was zero
    of_mean_air  ///< a bias or a spread: the difference itself, a part of the mean air
};

/// How people read it.
enum class Form {
    fixed,
    with_sign,  ///< fixed decimals with a leading + or -
    scientific
};

/// The line of a point in a printed result; they stand in this order. Numbers of a cylinder are
/// columns of its table.
enum class Line {
    condition,
    column,
    air_flow,
    losses,  ///< each also as part of the pressure before the throttle
    slot,
    valves,
    spread,
    end_bias,
    no_slot,
    band,
    balances,
    periodicity
};

/// One number of a result and all that any output needs to know of it. HDF5 holds it in SI under
/// `name`; JSON and CSV hold it in the unit that their name of it says, CSV in one that people
/// paste; people read `words`.
template <class Result>
struct Quantity {
    const char* name;  ///< of the dataset and in comparisons
    const char* units;  ///< SI in UDUNITS text, "1" where none
    const char* long_name;
    double Result::*member;
    const char* json;  ///< field; "loss_pa.slot": field "slot" of the object "loss_pa"
    const char* csv;  ///< column, with its unit: "slot_loss_kpa"
    const char* csv_unit = "";  ///< unit in CSV where it is not SI, one that people paste: "kPa"
    const char* exchanged = "";  ///< unit in JSON where it is not SI: "rpm", "%"
    const char* words;  ///< "throttle loss"
    const char* unit;  ///< for people: "kPa", "%"; "1": none
    const char* also = "";  ///< second unit for people, behind the first in brackets
    const char* per = "";  ///< "/cycle"
    int digits = 0;  ///< decimals in `unit`
    Form form = Form::fixed;
    Line line;
    const char* phrase;  ///< in its line, {} the number; of a cylinder the head of its column
    Shown shown = Shown::always;
    ChangeKind change = ChangeKind::relative;
    bool of_banks = false;  ///< people read it only where there are several banks
    bool younger = false;  ///< files of the same format may be older than it, and lack it

    /// Whether the number of a point may be shown. @param value  in SI
    [[nodiscard]] bool shows(bool converged, double value) const {
        if (shown == Shown::always) return true;
        return converged && (shown == Shown::converged || value > 0);
    }
    /// What files of numbers hold: NaN in place of what a point that did not converge does not
    /// have.
    [[nodiscard]] double stored(double value, bool converged) const {
        return shown == Shown::always || converged ? value
                                                   : std::numeric_limits<double>::quiet_NaN();
    }
    /// In the unit of CSV. @param value  in SI
    [[nodiscard]] double to_csv(double value) const;
    /// In the unit of JSON. @param value  in SI
    [[nodiscard]] double to_exchanged(double value) const;
    /// In SI. @param value  in the unit of JSON
    [[nodiscard]] double from_exchanged(double value) const;
};

/// Numbers of one point, in the order of every file. The only list of them.
[[nodiscard]] const std::vector<Quantity<PointResult>>& point_quantities();
/// Numbers of one cylinder at one point, the same way.
[[nodiscard]] const std::vector<Quantity<CylinderResult>>& cylinder_quantities();
/// Numbers of one bank at one point, the same way.
[[nodiscard]] const std::vector<Quantity<BankResult>>& bank_quantities();

/// Numbers of one part of a band, the same way.
[[nodiscard]] const std::vector<Quantity<BandPart>>& band_part_quantities();

/// An SI value in a unit of geometry/quantity without the last-bit noise of a conversion there and
/// back: 12 digits, so that 8600 rpm prints as 8600.
[[nodiscard]] double converted(double value, const char* unit);
/// An SI value in the unit that people read; "1" and "m/s" are SI already.
[[nodiscard]] double for_people(double value, const std::string& unit);

}  // namespace plenair
