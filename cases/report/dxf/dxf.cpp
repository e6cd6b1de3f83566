#include "cases/report/dxf/dxf.hpp"

#include <algorithm>

#include "cases/report/dxf/records.hpp"
#include "geometry/quantity.hpp"

namespace plenair {

namespace {

using dxf::Records;

/// One style for each text height of the drawing.
std::vector<dxf::DimensionStyle> styles_of(const drawing::Drawing& drawing) {
    std::vector<dxf::DimensionStyle> styles;
    for (const auto& view : drawing.views) {
        if (view.magnification != 1) {
            continue;  // nothing there is measured by the reader
        }
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

/// Whether a dimension stands in the file as lines and text alone: in an enlarged view, where a
/// reader would measure the enlarged size, and from a datum, a kind that many viewers leave out.
bool is_plain(const drawing::View& view, const drawing::Dimension& dimension) {
    return view.magnification != 1 || dimension.measure == drawing::Measure::ordinate_x;
}

/// A view as entities of the model space, enlarged as the view asks for.
class ViewWriter final {
public:
    ViewWriter(Records& records, const drawing::View& view, drawing::Point shift)
        : records_(records), view_(view), shift_(shift), scale_(view.magnification) {}

    void write() {
        for (const auto& line : view_.polylines) {
            add(line);
        }
        for (auto arc : view_.arcs) {
            arc.centre = scaled(arc.centre);
            arc.radius *= scale_;
            dxf::add_arc(records_, dxf::handle::model_space, arc, shift_);
        }
        for (const auto& text : view_.texts) {
            add(text);
        }
        if (!view_.title.empty()) {
            const auto box = drawing::bounds(view_);
            drawing::Text title;
            title.at = {box.left, box.top - 1.2 * view_.text};
            title.text = view_.title;
            title.size = 1.1;
            add(title);
        }
        for (const auto& dimension : view_.dimensions) {
            if (is_plain(view_, dimension)) {
                add(dimension);
            }
        }
    }

private:
    [[nodiscard]] drawing::Point scaled(drawing::Point point) const {
        return {scale_ * point.x, scale_ * point.y};
    }

    void add(drawing::Polyline line) {
        for (auto& point : line.points) {
            point = scaled(point);
        }
        dxf::add_polyline(records_, dxf::handle::model_space, line, shift_);
    }

    void add(drawing::Text text, std::string_view prefix = "") {
        text.at = scaled(text.at);
        dxf::add_text(
            records_, dxf::handle::model_space, text, scale_ * view_.text, shift_, prefix);
    }

    void add(const drawing::Dimension& dimension) {
        const auto shown = drawing::picture(dimension, view_.text);
        for (const auto& line : shown.lines) {
            add(line);
        }
        for (auto arrow : shown.arrows) {
            for (auto& corner : arrow) {
                corner = scaled(corner);
            }
            dxf::add_triangle(records_, dxf::handle::model_space, arrow, shift_);
        }
        add(shown.label, dimension.diameter ? "%%c" : "");
    }

    Records& records_;
    const drawing::View& view_;
    drawing::Point shift_;
    double scale_;
};

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
    auto placement = drawing::place(drawing, true, 3 * text);
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
            if (is_plain(drawing.views[i], dimension)) {
                continue;
            }
            dimensions.push_back({dimension,
                                  placement.origins[i],
                                  drawing.views[i].text,
                                  style_name(styles, drawing.views[i].text),
                                  fmt::format("*D{}", dimensions.size() + 1),
                                  entities.take_handle()});
        }
    }
    for (std::size_t i = 0; i < drawing.views.size(); ++i) {
        ViewWriter(entities, drawing.views[i], placement.origins[i]).write();
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
