#pragma once

#include <string>

#include "cases/report/drawing_model.hpp"
#include "geometry/intake.hpp"

namespace plenair {

struct DrawingOptions {
    std::string title = "Intake";  ///< any text; it is escaped
    /// A file of its own, with colours for light and dark; else for embedding in HTML: no style,
    /// all lines in the colour of the text around it.
    bool stand_alone = false;
    /// Millimetres on paper for one of the drawing, where the picture is to be printed to scale; 0:
    /// a picture 1000 pixels wide.
    double paper_scale = 0;
    geometry::OutputUnits units;  ///< of the numbers
    std::string id = "drawing";  ///< of its parts, where several stand in one page
};

/// The intake as views in millimetres: section along x of every bank (pre-chamber, slot, plenum,
/// runners, feed), the slot from the pre-chamber, the slot's section, throttle bores, and a list of
/// the runners. Chambers are drawn with the depth that follows from section and height; where the
/// case states no height, square.
/// @param units  of the numbers; the geometry is in millimetres
[[nodiscard]] drawing::Drawing intake_drawing(const geometry::Intake& intake,
                                              const std::string& title,
                                              const geometry::OutputUnits& units = {});

/// A drawing as SVG: no script, no address outside, no style attribute.
[[nodiscard]] std::string drawing_svg(const drawing::Drawing& drawing,
                                      const DrawingOptions& options);

/// The dimensioned intake as SVG.
[[nodiscard]] std::string drawing_svg(const geometry::Intake& intake,
                                      const DrawingOptions& options = {});

namespace drawing {

// The views, each made by its own file. `text` is the text height [mm].
[[nodiscard]] View section_view(const geometry::Bank& bank,
                                double text,
                                const geometry::OutputUnits& units);
[[nodiscard]] View slot_view(const geometry::Bank& bank, double text);
/// Runners of a bank in its section, and their dimensions below.
void add_runners(View& view, const geometry::Bank& bank);
/// Behind the numbers of the slot's section: " +/-0.05".
struct SectionLabels {
    std::string width, land, inlet, outlet;
    std::string upper = "pre-chamber side", lower = "plenum side";
};
[[nodiscard]] View slot_section_view(const geometry::Slot& slot,
                                     double width,
                                     double text,
                                     const SectionLabels& labels = {});
/// Outlines of pieces and holes, seen from the pre-chamber.
void add_slot_outline(View& view, const geometry::Slot& slot);
[[nodiscard]] View throttle_view(const geometry::Throttle& throttle,
                                 const std::string& name,
                                 double text);
[[nodiscard]] View notes_view(const geometry::Bank& bank,
                              double text,
                              const geometry::OutputUnits& units);
/// A length of the model in drawing millimetres.
[[nodiscard]] double in_mm(double length);
/// An area as on a drawing, with its unit: five digits at most.
[[nodiscard]] std::string drawn_area(double area, const geometry::OutputUnits& units);
/// Depth that a chamber is drawn with at x, square to the slot's wall [mm].
[[nodiscard]] double drawn_depth(const geometry::Chamber& chamber, double x);
/// Height of the plenum's floor at x [mm], 0 without a plenum; the slot's wall is above it.
[[nodiscard]] double floor_height(const geometry::Bank& bank, double x);
/// Stations inside (0, length) where a profile bends, with both ends [m].
[[nodiscard]] std::vector<double> profile_stations(const geometry::Profile& profile, double length);
/// Width of a hole across the slot's row [m].
[[nodiscard]] double hole_width(const geometry::SlotHole& hole);
[[nodiscard]] bool round(const geometry::SlotHole& hole);
/// Extent of a bank along x: its chambers, slot and runners [mm].
[[nodiscard]] double drawn_length(const geometry::Bank& bank);

}  // namespace drawing

}  // namespace plenair
