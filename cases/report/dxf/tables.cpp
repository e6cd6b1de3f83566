#include "cases/report/dxf/records.hpp"

#include <algorithm>
#include <array>
#include <utility>

/// What a DXF file says before and after its entities: units, tables, dictionaries.
namespace plenair::dxf {

namespace {

constexpr int inches = 1, millimetres = 4;  ///< $INSUNITS

void begin_table(Records& records, std::string_view name, int table, std::size_t count) {
    records.text(0, "TABLE");
    records.text(2, name);
    records.hex(5, table);
    records.hex(330, 0);
    records.text(100, "AcDbSymbolTable");
    records.whole(70, static_cast<int>(count));
}

void end_table(Records& records) {
    records.text(0, "ENDTAB");
}

void begin_entry(Records& records,
                 std::string_view name,
                 int table,
                 std::string_view kind,
                 int entry_handle,
                 int handle_code = 5) {
    records.text(0, name);
    records.hex(handle_code, entry_handle);
    records.hex(330, table);
    records.text(100, "AcDbSymbolTableRecord");
    records.text(100, kind);
}

void add_line_type(Records& records,
                   std::string_view name,
                   std::string_view picture,
                   const std::vector<double>& dashes) {
    begin_entry(records,
                "LTYPE",
                handle::line_type_table,
                "AcDbLinetypeTableRecord",
                records.take_handle());
    records.text(2, name);
    records.whole(70, 0);
    records.text(3, picture);
    records.whole(72, 65);
    records.whole(73, static_cast<int>(dashes.size()));
    double length = 0;
    for (const double dash : dashes) {
        length += dash < 0 ? -dash : dash;
    }
    records.real(40, length);
    for (const double dash : dashes) {
        records.real(49, dash);
        records.whole(74, 0);
    }
}

void add_layer(Records& records, std::string_view name, int colour, std::string_view line_type) {
    begin_entry(
        records, "LAYER", handle::layer_table, "AcDbLayerTableRecord", records.take_handle());
    records.text(2, name);
    records.whole(70, 0);
    records.whole(62, colour);
    records.text(6, line_type);
}

void add_layers(Records& records) {
    begin_table(records, "LAYER", handle::layer_table, drawing::layers.size() + 1);
    add_layer(records, "0", 7, "Continuous");
    for (const auto layer : drawing::layers) {
        const bool centre = layer == drawing::Layer::centre;
        // Colours of the format's index: 7 black or white, 5 blue, 8 grey.
        const int colour = layer == drawing::Layer::slot                  ? 5
                           : centre || layer == drawing::Layer::dimension ? 8
                                                                          : 7;
        add_layer(records, drawing::layer_name(layer), colour, centre ? "CENTRE" : "Continuous");
    }
    end_table(records);
}

void pair(Records& records, int code, double x, double y) {
    records.real(code, x);
    records.real(code + 10, y);
}

/// The view a program opens with: all of the drawing.
void add_viewport(Records& records, const drawing::Box& extent) {
    constexpr double usual_aspect = 1.6;  // width over height of a window
    begin_table(records, "VPORT", handle::viewport_table, 1);
    begin_entry(
        records, "VPORT", handle::viewport_table, "AcDbViewportTableRecord", records.take_handle());
    records.text(2, "*Active");
    records.whole(70, 0);
    pair(records, 10, 0, 0);
    pair(records, 11, 1, 1);
    pair(records, 12, 0.5 * (extent.left + extent.right), 0.5 * (extent.bottom + extent.top));
    pair(records, 13, 0, 0);
    pair(records, 14, 10, 10);
    pair(records, 15, 10, 10);
    records.real(16, 0);
    records.real(26, 0);
    records.real(36, 1);
    records.point(17, {0, 0});
    records.real(40, 1.05 * std::max(extent.height(), extent.width() / usual_aspect));
    records.real(41, usual_aspect);
    records.real(42, 50);
    for (const int code : {43, 44, 50, 51}) {
        records.real(code, 0);
    }
    records.whole(71, 0);
    records.whole(72, 1000);
    records.whole(73, 1);
    records.whole(74, 3);
    for (const int code : {75, 76, 77, 78}) {
        records.whole(code, 0);
    }
    end_table(records);
}

void add_text_style(Records& records) {
    begin_table(records, "STYLE", handle::style_table, 1);
    begin_entry(
        records, "STYLE", handle::style_table, "AcDbTextStyleTableRecord", records.take_handle());
    records.text(2, "Standard");
    records.whole(70, 0);
    records.real(40, 0);
    records.real(41, 1);
    records.real(50, 0);
    records.whole(71, 0);
    records.real(42, 2.5);
    records.text(3, "txt");
    records.text(4, "");
    end_table(records);
}

void add_dimension_styles(Records& records, const std::vector<DimensionStyle>& styles) {
    begin_table(records, "DIMSTYLE", handle::dimension_style_table, styles.size() + 1);
    records.text(100, "AcDbDimStyleTable");
    auto all = styles;
    all.push_back({"Standard", styles.empty() ? 5 : styles.front().text});
    for (const auto& style : all) {
        begin_entry(records,
                    "DIMSTYLE",
                    handle::dimension_style_table,
                    "AcDbDimStyleTableRecord",
                    records.take_handle(),
                    105);
        records.text(2, style.name);
        records.whole(70, 0);
        const std::array<std::pair<int, double>, 8> sizes{{{40, 1},
                                                           {41, 0.8 * style.text},
                                                           {42, 0.25 * style.text},
                                                           {43, 2.4 * style.text},
                                                           {44, 0.4 * style.text},
                                                           {140, style.text},
                                                           {144, 1},
                                                           {147, 0.3 * style.text}}};
        for (const auto& [code, value] : sizes) {
            records.real(code, value);
        }
        // Text along the line and above it, three decimals without needless zeros, point as sign.
        const std::array<std::pair<int, int>, 6> ways{
            {{73, 0}, {74, 0}, {77, 1}, {78, 8}, {271, 3}, {278, '.'}}};
        for (const auto& [code, value] : ways) {
            records.whole(code, value);
        }
    }
    end_table(records);
}

void add_block_record(Records& records, std::string_view name, int record) {
    begin_entry(records, "BLOCK_RECORD", handle::block_records, "AcDbBlockTableRecord", record);
    records.text(2, name);
}

}  // namespace

namespace {

/// How dimensions look, for programs that take it from here and not from the style.
void add_dimension_variables(Records& records, double text) {
    const std::array<std::pair<std::string_view, double>, 6> sizes{{{"$DIMSCALE", 1},
                                                                    {"$DIMASZ", 0.8 * text},
                                                                    {"$DIMEXO", 0.25 * text},
                                                                    {"$DIMEXE", 0.4 * text},
                                                                    {"$DIMTXT", text},
                                                                    {"$DIMGAP", 0.3 * text}}};
    for (const auto& [name, value] : sizes) {
        records.text(9, name);
        records.real(40, value);
    }
    const std::array<std::pair<std::string_view, int>, 6> ways{{{"$DIMTIH", 0},
                                                                {"$DIMTOH", 0},
                                                                {"$DIMTAD", 1},
                                                                {"$DIMZIN", 8},
                                                                {"$DIMDEC", 3},
                                                                {"$DIMLUNIT", 2}}};
    for (const auto& [name, value] : ways) {
        records.text(9, name);
        records.whole(70, value);
    }
}

}  // namespace

void add_header(Records& records,
                const drawing::Box& extent,
                double text,
                int next_handle,
                const geometry::OutputUnits& units) {
    records.begin_section("HEADER");
    const auto variable = [&records](std::string_view name) { records.text(9, name); };
    variable("$ACADVER");
    records.text(1, "AC1015");
    variable("$DWGCODEPAGE");
    records.text(3, "ANSI_1252");
    variable("$INSBASE");
    records.point(10, {0, 0});
    variable("$EXTMIN");
    records.point(10, {extent.left, extent.bottom});
    variable("$EXTMAX");
    records.point(10, {extent.right, extent.top});
    variable("$LTSCALE");
    records.real(40, 1);
    variable("$LUNITS");
    records.whole(70, 2);
    variable("$LUPREC");
    records.whole(70, 3);
    variable("$MEASUREMENT");
    records.whole(70, units.inches() ? 0 : 1);
    variable("$INSUNITS");
    records.whole(70, units.inches() ? inches : millimetres);
    add_dimension_variables(records, text);
    variable("$HANDSEED");
    records.hex(5, next_handle + 1);
    records.end_section();
    records.begin_section("CLASSES");
    records.end_section();
}

void add_tables(Records& records,
                const std::vector<DimensionStyle>& styles,
                const std::vector<NamedDimension>& dimensions,
                const drawing::Box& extent) {
    const double text = styles.empty() ? 5 : styles.front().text;
    records.begin_section("TABLES");
    add_viewport(records, extent);
    begin_table(records, "LTYPE", handle::line_type_table, 4);
    for (const auto* name : {"ByBlock", "ByLayer", "Continuous"}) {
        add_line_type(records, name, "", {});
    }
    add_line_type(
        records, "CENTRE", "____ _ ____ _ ", {2 * text, -0.5 * text, 0.4 * text, -0.5 * text});
    end_table(records);
    add_layers(records);
    add_text_style(records);
    begin_table(records, "VIEW", handle::view_table, 0);
    end_table(records);
    begin_table(records, "UCS", handle::ucs_table, 0);
    end_table(records);
    begin_table(records, "APPID", handle::application_table, 1);
    begin_entry(records,
                "APPID",
                handle::application_table,
                "AcDbRegAppTableRecord",
                records.take_handle());
    records.text(2, "ACAD");
    records.whole(70, 0);
    end_table(records);
    add_dimension_styles(records, styles);
    begin_table(records, "BLOCK_RECORD", handle::block_records, dimensions.size() + 2);
    add_block_record(records, "*Model_Space", handle::model_space);
    add_block_record(records, "*Paper_Space", handle::paper_space);
    for (const auto& named : dimensions) {
        add_block_record(records, named.block, named.block_record);
    }
    end_table(records);
    records.end_section();
}

void add_objects(Records& records) {
    records.begin_section("OBJECTS");
    const auto dictionary = [&records](int own, int owner) {
        records.text(0, "DICTIONARY");
        records.hex(5, own);
        records.hex(330, owner);
        records.text(100, "AcDbDictionary");
        records.whole(281, 1);
    };
    dictionary(handle::root_dictionary, 0);
    records.text(3, "ACAD_GROUP");
    records.hex(350, handle::group_dictionary);
    dictionary(handle::group_dictionary, handle::root_dictionary);
    records.end_section();
}

}  // namespace plenair::dxf
