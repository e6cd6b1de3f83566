#include "cases/report/dxf/records.hpp"

#include <cmath>

namespace plenair::dxf {

using drawing::Point;

namespace {

Point moved(Point point, Point shift) {
    return {point.x + shift.x, point.y + shift.y};
}

/// Code point at the start of a text and how many bytes it takes; a byte that is not UTF-8 gives
/// U+FFFD.
std::pair<unsigned, std::size_t> code_point(std::string_view text) {
    const auto byte = [text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned lead = byte(0);
    if (lead < 0x80) {
        return {lead, 1};
    }
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 0;
    if (length == 0 || length > text.size()) {
        return {0xFFFD, 1};
    }
    unsigned code = lead & (0xFFU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0U) != 0x80) {
            return {0xFFFD, 1};
        }
        code = code << 6U | (byte(i) & 0x3FU);
    }
    return {code, length};
}

}  // namespace

namespace {

/// Signs of a drawing as every viewer shows them: codes as old as the format, or plain letters.
std::string_view sign_of(unsigned code) {
    switch (code) {
        case 0x00B1:
            return "%%p";
        case 0x00B0:
            return "%%d";
        case 0x2300:
        case 0x2205:
        case 0x00D8:
            return "%%c";
        case 0x00B2:
            return "2";
        case 0x00B3:
            return "3";
        case 0x00B5:
        case 0x03BC:
            return "u";
        case 0x00D7:
            return "x";
        case 0x2010:
        case 0x2011:
        case 0x2012:
        case 0x2013:
        case 0x2014:
        case 0x2212:
            return "-";
        case 0x00A0:
        case 0x202F:
            return " ";
        case 0x2018:
        case 0x2019:
            return "'";
        case 0x201C:
        case 0x201D:
            return "\"";
        default:
            return {};
    }
}

}  // namespace

std::string plain_text(std::string_view text) {
    constexpr std::size_t longest = 250;  // of a line in old readers
    std::string out;
    bool after_percent = false;
    while (!text.empty() && out.size() < longest) {
        const auto [code, length] = code_point(text);
        text.remove_prefix(length);
        if (code < 0x20 || code == 0x7F) {
            out += ' ';
        } else if (const auto sign = sign_of(code); !sign.empty()) {
            out += sign;
        } else if (code == '%') {
            // Two in a row would begin a sign such as %%c; one alone shows itself.
            const bool several = after_percent || (!text.empty() && text.front() == '%');
            out += several ? "%%037" : "%";
        } else if (code == '^') {
            out += "^ ";
        } else if (code == '\\') {
            out += "\\U+005C";
        } else if (code < 0x7F) {
            out += static_cast<char>(code);
        } else {
            out += code > 0xFFFF ? std::string("\\U+FFFD") : fmt::format("\\U+{:04X}", code);
        }
        after_percent = code == '%';
    }
    return out;
}

void Records::real(int code, double value) {
    std::string text = fmt::format("{:.10f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
        text += '0';
    }
    out_ += fmt::format("{:3}\n{}\n", code, text == "-0.0" ? "0.0" : text);
}

void Records::point(int code, Point at) {
    real(code, at.x);
    real(code + 10, at.y);
    real(code + 20, 0);
}

void Records::entity(std::string_view name,
                     int owner,
                     drawing::Layer layer,
                     std::string_view kind) {
    text(0, name);
    hex(5, take_handle());
    hex(330, owner);
    text(100, "AcDbEntity");
    text(8, drawing::layer_name(layer));
    text(100, kind);
}

void add_polyline(Records& records, int owner, const drawing::Polyline& line, Point shift) {
    if (line.points.size() == 2) {
        records.entity("LINE", owner, line.layer, "AcDbLine");
        records.point(10, moved(line.points[0], shift));
        records.point(11, moved(line.points[1], shift));
        return;
    }
    records.entity("LWPOLYLINE", owner, line.layer, "AcDbPolyline");
    records.whole(90, static_cast<int>(line.points.size()));
    records.whole(70, line.closed ? 1 : 0);
    for (std::size_t i = 0; i < line.points.size(); ++i) {
        const Point at = moved(line.points[i], shift);
        records.real(10, at.x);
        records.real(20, at.y);
        if (line.bulge(i) != 0) {
            records.real(42, line.bulge(i));
        }
    }
}

void add_arc(Records& records, int owner, const drawing::Arc& arc, Point shift) {
    records.entity(arc.full() ? "CIRCLE" : "ARC", owner, arc.layer, "AcDbCircle");
    records.point(10, moved(arc.centre, shift));
    records.real(40, arc.radius);
    if (!arc.full()) {
        records.text(100, "AcDbArc");
        records.real(50, arc.start);
        records.real(51, arc.end);
    }
}

void add_text(Records& records,
              int owner,
              const drawing::Text& text,
              double height,
              Point shift,
              std::string_view prefix) {
    const Point at = moved(text.at, shift);
    records.entity("TEXT", owner, text.layer, "AcDbText");
    records.point(10, at);
    records.real(40, text.size * height);
    records.text(1, std::string(prefix) + plain_text(text.text));
    records.real(50, text.angle);
    records.text(7, "Standard");
    records.whole(72,
                  text.align == drawing::Align::left     ? 0
                  : text.align == drawing::Align::centre ? 1
                                                         : 2);
    if (text.align != drawing::Align::left) {
        records.point(11, at);
    }
    records.text(100, "AcDbText");
    records.whole(73, 0);
}

void add_triangle(Records& records, int owner, const std::array<Point, 3>& corners, Point shift) {
    records.entity("SOLID", owner, drawing::Layer::dimension, "AcDbTrace");
    for (int i = 0; i < 4; ++i) {
        records.point(10 + i, moved(corners[static_cast<std::size_t>(std::min(i, 2))], shift));
    }
}

void begin_block(Records& records, std::string_view name, int record, bool anonymous) {
    records.text(0, "BLOCK");
    records.hex(5, records.take_handle());
    records.hex(330, record);
    records.text(100, "AcDbEntity");
    records.text(8, "0");
    records.text(100, "AcDbBlockBegin");
    records.text(2, name);
    records.whole(70, anonymous ? 1 : 0);
    records.point(10, {0, 0});
    records.text(3, name);
    records.text(1, "");
}

void end_block(Records& records, int record) {
    records.text(0, "ENDBLK");
    records.hex(5, records.take_handle());
    records.hex(330, record);
    records.text(100, "AcDbEntity");
    records.text(8, "0");
    records.text(100, "AcDbBlockEnd");
}

void add_dimension_block(Records& records, const NamedDimension& named) {
    const auto shown = drawing::picture(named.dimension, named.text);
    begin_block(records, named.block, named.block_record, true);
    for (const auto& line : shown.lines) {
        add_polyline(records, named.block_record, line, named.shift);
    }
    for (const auto& arrow : shown.arrows) {
        add_triangle(records, named.block_record, arrow, named.shift);
    }
    add_text(records,
             named.block_record,
             shown.label,
             named.text,
             named.shift,
             named.dimension.diameter ? "%%c" : "");
    end_block(records, named.block_record);
}

namespace {

/// Flags of group 70: kind, "block is mine alone".
int kind_of(drawing::Measure measure) {
    constexpr int own_block = 32;
    switch (measure) {
        case drawing::Measure::along_x:
        case drawing::Measure::along_y:
            return own_block;
        case drawing::Measure::ordinate_x:
            break;  // written as lines and text
        case drawing::Measure::radius:
            return own_block + 4;
    }
    return own_block;
}

/// What the group 10 point of each kind is: a point of the dimension line, the centre.
Point definition_point(const drawing::Dimension& d) {
    switch (d.measure) {
        case drawing::Measure::along_x:
            return {d.to.x, d.line};
        case drawing::Measure::along_y:
            return {d.line, d.to.y};
        case drawing::Measure::ordinate_x:
        case drawing::Measure::radius:
            return d.from;
    }
    return d.from;
}

}  // namespace

void add_dimension(Records& records, const NamedDimension& named) {
    const auto& d = named.dimension;
    const auto shown = drawing::picture(d, named.text);
    records.entity("DIMENSION", handle::model_space, drawing::Layer::dimension, "AcDbDimension");
    records.text(2, named.block);
    records.point(10, moved(definition_point(d), named.shift));
    records.point(11, moved(shown.label.at, named.shift));
    records.whole(70, kind_of(d.measure));
    records.whole(71, 5);
    records.real(42, d.value());
    const std::string around = d.diameter || !d.after.empty()
                                   ? (d.diameter ? "%%c<>" : "<>") + plain_text(d.after)
                                   : std::string();
    records.text(1, around);
    records.text(3, named.style);
    if (d.measure == drawing::Measure::radius) {
        records.text(100, "AcDbRadialDimension");
        records.point(15, moved(d.to, named.shift));
        records.real(40, 0);
    } else {
        records.text(100, "AcDbAlignedDimension");
        records.point(13, moved(d.from, named.shift));
        records.point(14, moved(d.to, named.shift));
        records.real(50, d.measure == drawing::Measure::along_y ? 90 : 0);
        records.text(100, "AcDbRotatedDimension");
    }
}

}  // namespace plenair::dxf
