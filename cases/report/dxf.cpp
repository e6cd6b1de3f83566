#include "cases/report/dxf.hpp"

#include <algorithm>

#include "cases/report/dxf_records.hpp"
#include "geometry/quantity.hpp"

namespace plenair {

namespace {

using dxf::Records;

/// One style for each text height of the drawing.
std::vector<dxf::DimensionStyle> styles_of(const drawing::Drawing& drawing) {
    std::vector<dxf::DimensionStyle> styles;
    for (const auto& view : drawing.views) {
        const bool known = std::any_of(styles.begin(), styles.end(), [&view](const auto& style) {
            return style.text == view.text;
        });
        if (!known) {
            styles.push_back(
                {fmt::format("{}_{}", drawing.units.inches() ? "INCH" : "MM", styles.size() + 1),
                 view.text});
        }
    }
    return styles;
}

std::string style_name(const std::vector<dxf::DimensionStyle>& styles, double text) {
    const auto found = std::find_if(
        styles.begin(), styles.end(), [text](const auto& style) { return style.text == text; });
    return found->name;
}

void add_view(Records& records, const drawing::View& view, drawing::Point shift) {
    for (const auto& line : view.polylines) {
        dxf::add_polyline(records, dxf::handle::model_space, line, shift);
    }
    for (const auto& arc : view.arcs) {
        dxf::add_arc(records, dxf::handle::model_space, arc, shift);
    }
    for (const auto& text : view.texts) {
        dxf::add_text(records, dxf::handle::model_space, text, view.text, shift);
    }
    if (!view.title.empty()) {
        const auto box = drawing::bounds(view);
        drawing::Text title;
        title.at = {box.left, box.top - 1.2 * view.text};
        title.text = view.title;
        title.size = 1.1;
        dxf::add_text(records, dxf::handle::model_space, title, view.text, shift);
    }
}

/// The drawing with every length in inches, for a file whose unit is the inch.
drawing::Drawing in_inches(drawing::Drawing drawing) {
    const double inch = geometry::to_unit(geometry::from_unit(1, "mm"), "in");
    const auto shrink = [inch](drawing::Point& point) {
        point.x *= inch;
        point.y *= inch;
    };
    for (auto& view : drawing.views) {
        view.text *= inch;
        for (auto& line : view.polylines) {
            for (auto& point : line.points) shrink(point);
        }
        for (auto& arc : view.arcs) {
            shrink(arc.centre);
            arc.radius *= inch;
        }
        for (auto& text : view.texts) shrink(text.at);
        for (auto& dimension : view.dimensions) {
            shrink(dimension.from);
            shrink(dimension.to);
            dimension.line *= inch;
            dimension.text_x *= inch;
            dimension.units = {};  // its number is that of the file now
            dimension.decimals = 4;
        }
    }
    return drawing;
}

}  // namespace

std::string dxf_text(const drawing::Drawing& in_millimetres) {
    const auto drawing = in_millimetres.units.inches() ? in_inches(in_millimetres) : in_millimetres;
    const auto styles = styles_of(drawing);
    const double text = styles.empty() ? 5 : styles.front().text;
    auto placement = drawing::place(drawing, false, 3 * text);
    // The lower left corner is the origin, where programs look first.
    for (auto& origin : placement.origins) {
        origin.y += placement.height;
    }
    const drawing::Box extent{0, 0, placement.width, placement.height + 4 * text};

    // Handles are given out before the tables are written, which must name them.
    Records entities;
    std::vector<dxf::NamedDimension> dimensions;
    for (std::size_t i = 0; i < drawing.views.size(); ++i) {
        for (const auto& dimension : drawing.views[i].dimensions) {
            dimensions.push_back({dimension,
                                  placement.origins[i],
                                  drawing.views[i].text,
                                  style_name(styles, drawing.views[i].text),
                                  fmt::format("*D{}", dimensions.size() + 1),
                                  entities.take_handle()});
        }
    }
    for (std::size_t i = 0; i < drawing.views.size(); ++i) {
        add_view(entities, drawing.views[i], placement.origins[i]);
    }
    drawing::Text title;
    title.at = {0, placement.height + 2 * text};
    title.text = drawing.title;
    title.size = 1.4;
    dxf::add_text(entities, dxf::handle::model_space, title, text, {0, 0});
    for (const auto& named : dimensions) {
        dxf::add_dimension(entities, named);
    }

    Records blocks;
    blocks.number_after(entities);
    for (const auto& [name, record] : {std::pair("*Model_Space", dxf::handle::model_space),
                                       std::pair("*Paper_Space", dxf::handle::paper_space)}) {
        dxf::begin_block(blocks, name, record, false);
        dxf::end_block(blocks, record);
    }
    for (const auto& named : dimensions) {
        dxf::add_dimension_block(blocks, named);
    }

    Records tables;
    tables.number_after(blocks);
    dxf::add_tables(tables, styles, dimensions, extent);

    Records file;
    dxf::add_header(file, extent, text, tables.next_handle(), drawing.units);
    file.append(tables);
    file.begin_section("BLOCKS");
    file.append(blocks);
    file.end_section();
    file.begin_section("ENTITIES");
    file.append(entities);
    file.end_section();
    dxf::add_objects(file);
    file.text(0, "EOF");
    return file.all();
}

}  // namespace plenair
