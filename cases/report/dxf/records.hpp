#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "cases/report/drawing/model.hpp"

/// The group codes a DXF file consists of: pairs of a code and a value, a line each.
namespace plenair::dxf {

/// Handles of what every file has; those of entities follow from `first_free`.
namespace handle {
inline constexpr int block_records = 0x1;
inline constexpr int layer_table = 0x2;
inline constexpr int style_table = 0x3;
inline constexpr int line_type_table = 0x5;
inline constexpr int view_table = 0x6;
inline constexpr int ucs_table = 0x7;
inline constexpr int viewport_table = 0x8;
inline constexpr int application_table = 0x9;
inline constexpr int dimension_style_table = 0xA;
inline constexpr int root_dictionary = 0xC;
inline constexpr int group_dictionary = 0xD;
inline constexpr int model_space = 0x1F;
inline constexpr int paper_space = 0x1E;
inline constexpr int first_free = 0x100;
}  // namespace handle

/// Text without what a reader would take as a code: one line, ASCII; the signs of a drawing in
/// codes or letters that every viewer shows (%%p, %%d, %%c, mm2), \U+XXXX for the letters of other
/// languages.
[[nodiscard]] std::string plain_text(std::string_view text);

class Records final {
public:
    void text(int code, std::string_view value) { out_ += fmt::format("{:3}\n{}\n", code, value); }
    void whole(int code, int value) { out_ += fmt::format("{:3}\n{:6}\n", code, value); }
    /// Ten decimals: far below the 1e-6 mm that a drawing is good for.
    void real(int code, double value);
    void hex(int code, int value) { out_ += fmt::format("{:3}\n{:X}\n", code, value); }
    /// x, y and z = 0 under `code`, code + 10, code + 20.
    void point(int code, drawing::Point at);

    void begin_section(std::string_view name) {
        text(0, "SECTION");
        text(2, name);
    }
    void end_section() { text(0, "ENDSEC"); }

    /// Name, new handle, owner and class of an entity.
    void entity(std::string_view name, int owner, drawing::Layer layer, std::string_view kind);
    /// A new handle.
    int take_handle() { return next_handle_++; }
    [[nodiscard]] int next_handle() const { return next_handle_; }
    void append(const Records& other) { out_ += other.out_; }
    /// Goes on with the handles of other records.
    void number_after(const Records& other) { next_handle_ = other.next_handle_; }
    [[nodiscard]] const std::string& all() const { return out_; }

private:
    std::string out_;
    int next_handle_ = handle::first_free;
};

/// Lines, arcs and texts of a view, moved by `shift`, as entities of a block.
void add_polyline(Records& records, int owner, const drawing::Polyline& line, drawing::Point shift);
void add_arc(Records& records, int owner, const drawing::Arc& arc, drawing::Point shift);
/// @param prefix  stands before the text unchanged: "%%c" for a diameter
void add_text(Records& records,
              int owner,
              const drawing::Text& text,
              double height,
              drawing::Point shift,
              std::string_view prefix = "");
void add_triangle(Records& records,
                  int owner,
                  const std::array<drawing::Point, 3>& corners,
                  drawing::Point shift);

/// A dimension of the file: its block of lines and the entity that measures.
struct NamedDimension {
    drawing::Dimension dimension;
    drawing::Point shift;
    double text = 5;  ///< height [mm]
    std::string style;
    std::string block;  ///< "*D1"
    int block_record = 0;  ///< handle
};
void add_dimension_block(Records& records, const NamedDimension& named);
/// @pre no ordinate: many viewers leave that kind out
void add_dimension(Records& records, const NamedDimension& named);

/// Name of the dimension style for a text height.
struct DimensionStyle {
    std::string name;
    double text = 5;  ///< [mm]
};

void add_header(Records& records,
                const drawing::Box& extent,
                double text,
                int next_handle,
                const geometry::OutputUnits& units);
void add_tables(Records& records,
                const std::vector<DimensionStyle>& styles,
                const std::vector<NamedDimension>& dimensions,
                const drawing::Box& extent);
void begin_block(Records& records, std::string_view name, int record, bool anonymous);
void end_block(Records& records, int record);
void add_objects(Records& records);

}  // namespace plenair::dxf
