#pragma once

#include <string>
#include <vector>

#include "cases/report/drawing/model.hpp"
#include "geometry/intake.hpp"
#include "geometry/slot_shop.hpp"

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
    std::vector<geometry::SlotShop> shops = {};  ///< as for intake_drawing
};

/// What a drawing is made for.
enum class DrawnFor {
    picture,  ///< parts too small to be read stand there larger
    file  ///< everything at 1:1; the section of the slot once more, enlarged and titled so
};

/// The intake as views in millimetres: section along x of every bank (pre-chamber, slot, plenum,
/// runners, feed), the slot from the pre-chamber, the slot's section, throttle bores, and a list of
/// the runners. Chambers are drawn with the depth that follows from section and height; where the
/// case states no height, square. The slot carries its tolerances, the datums and stations of the
/// machining sheet, and the ends that the shop leaves.
/// @param units  of the numbers; the geometry is in millimetres
/// @param shops  what the case says of its slots for the shop, a bank each; none: the defaults
[[nodiscard]] drawing::Drawing intake_drawing(const geometry::Intake& intake,
                                              const std::string& title,
                                              const geometry::OutputUnits& units = {},
                                              const std::vector<geometry::SlotShop>& shops = {},
                                              DrawnFor purpose = DrawnFor::picture);

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
[[nodiscard]] View slot_view(const geometry::Bank& bank,
                             const geometry::SlotShop& shop,
                             double text,
                             const geometry::OutputUnits& units);
/// Runners of a bank in its section, and their dimensions below.
void add_runners(View& view, const geometry::Bank& bank, const geometry::OutputUnits& units);
/// Behind the numbers of the slot's section: " +/-0.05".
struct SectionLabels {
    std::string width, land, inlet, outlet;
    std::string upper = "side A, pre-chamber", lower = "side D, plenum";
};
/// A tolerance [m] behind a number of the drawing, with the sign for both ways.
[[nodiscard]] std::string tolerance_text(double value, const geometry::OutputUnits& units);
/// Behind the outlet edge of a slot: the tolerance of a radius, or that a break is the most.
[[nodiscard]] std::string outlet_text(const geometry::Slot& slot,
                                      const geometry::OutputUnits& units);
[[nodiscard]] View slot_section_view(const geometry::Slot& slot,
                                     double width,
                                     double text,
                                     const SectionLabels& labels = {});
/// One place where a piece states its width.
struct StatedWidth {
    double x = 0, width = 0;  ///< [mm]
};
/// Ends of a piece and the stations between them; only its start where the width does not change.
[[nodiscard]] std::vector<StatedWidth> stated_widths(const geometry::SlotPiece& piece);
/// The slot with its pieces by rising x.
[[nodiscard]] geometry::Slot in_order(geometry::Slot slot);
/// Outlines of pieces and holes, seen from the pre-chamber, with the ends that the shop leaves.
void add_slot_outline(View& view, const geometry::Slot& slot, const geometry::SlotShop& shop);
/// Number of each station above the slot, with a line through it.
void add_stations(View& view, const std::vector<double>& x, double half);
[[nodiscard]] View throttle_view(const geometry::Throttle& throttle,
                                 const std::string& name,
                                 double text);
[[nodiscard]] View notes_view(const geometry::Bank& bank,
                              const geometry::SlotShop& shop,
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
/// Extent of a bank along x: its chambers, slot and runners [mm].
[[nodiscard]] double drawn_length(const geometry::Bank& bank);

}  // namespace drawing

}  // namespace plenair
