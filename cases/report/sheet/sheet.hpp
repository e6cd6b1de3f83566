#pragma once

#include <string>
#include <vector>

#include "cases/report/drawing/drawing.hpp"
#include "cases/study/machining.hpp"

namespace plenair {

enum class Paper {
    any,  ///< what the printer has: A4 and Letter both take it
    a4,
    letter
};

struct SheetOptions {
    Paper paper = Paper::any;
};

/// The machining sheets as one HTML page to print, two sides a slot, on A4 or Letter: drawing to
/// scale, sizes with limits, stations with pin gauges and blanks for measured values, what a
/// deviation costs, edges, cleaning, cautions. The unit of the case first, the other in brackets.
/// No script, no outside address; whatever came from the case stands there as text.
[[nodiscard]] std::string sheet_html(const std::vector<MachiningSheet>& sheets,
                                     const SheetOptions& options = {});

namespace sheet {

/// The two pictures of a sheet and the scale each is printed at.
struct Picture {
    drawing::Drawing drawing;
    double scale = 1;  ///< millimetres on paper for one of the part
};
[[nodiscard]] Picture face_picture(const MachiningSheet& sheet);
[[nodiscard]] Picture section_picture(const MachiningSheet& sheet);
/// Whether every station has the same width.
[[nodiscard]] bool one_width(const MachiningSheet& sheet);
/// "1:2.5", "5:1".
[[nodiscard]] std::string scale_text(double scale);

/// "6.00 (0.2362)": millimetres to a hundredth, inches to a ten-thousandth, the unit of the case
/// first.
[[nodiscard]] std::string size_text(double length, const geometry::OutputUnits& units);
/// Both numbers, that of the case's unit first, each with its decimals: "20.0 (0.787)".
[[nodiscard]] std::string both(double length,
                               const geometry::OutputUnits& units,
                               int of_mm,
                               int of_inch);
/// "mm (in)", of an inch case "in (mm)".
[[nodiscard]] const char* units_text(const MachiningSheet& sheet);
/// "5.90 (0.2323) to 6.10 (0.2402)"
[[nodiscard]] std::string between(const SizeLimits& size, const geometry::OutputUnits& units);
/// Whether the slot is a row of holes.
[[nodiscard]] bool holes(const MachiningSheet& sheet);
[[nodiscard]] bool round_holes(const MachiningSheet& sheet);
/// What the shop calls the size across: "Width", of round holes "Diameter", of both "Width or
/// diameter".
[[nodiscard]] std::string width_name(const MachiningSheet& sheet);
/// "slot", "row of holes".
[[nodiscard]] std::string part_name(const MachiningSheet& sheet);
/// "Slot seen from side A", "Slot cut across"; of holes theirs.
[[nodiscard]] std::string face_caption(const MachiningSheet& sheet);
[[nodiscard]] std::string section_caption(const MachiningSheet& sheet);
/// A cell to be filled in.
inline constexpr const char* pen = "<td class=\"pen\"></td>";
[[nodiscard]] std::string sizes_table(const MachiningSheet& sheet);
[[nodiscard]] std::string stations_table(const MachiningSheet& sheet);
[[nodiscard]] std::string other_blanks_table(const MachiningSheet& sheet);
[[nodiscard]] std::string costs_table(const MachiningSheet& sheet);
[[nodiscard]] std::string edge_rules(const MachiningSheet& sheet);
[[nodiscard]] std::string cautions_text();
[[nodiscard]] std::string style_text(Paper paper);

}  // namespace sheet

}  // namespace plenair
