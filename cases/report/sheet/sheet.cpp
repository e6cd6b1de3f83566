#include "cases/report/sheet/sheet.hpp"

#include <fmt/format.h>

#include "cases/base/sha256.hpp"
#include "cases/report/charts/charts.hpp"
#include "cases/report/markup/markup.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"
#include "geometry/places.hpp"

namespace plenair {

namespace sheet {

std::string style_text(Paper paper) {
    const std::string size = paper == Paper::a4       ? "size:A4 portrait;"
                             : paper == Paper::letter ? "size:letter portrait;"
                                                      : "";
    // Whatever the font, two sides: lengths are of the paper, columns have fixed widths, letters
    // the same height in all fonts, and the room is that of a wide font (tests print in a
    // fixed-pitch one).
    return "@page{" + size +
           "margin:10mm 14mm}"
           "*{box-sizing:border-box}"
           "html{color-scheme:light;background:#fff;color:#000}"
           "body{font:3mm/1.3 Helvetica,Arial,\"Liberation Sans\",\"Nimbus Sans\",\"Noto Sans\","
           "\"DejaVu Sans Condensed\",\"DejaVu Sans\",sans-serif;font-size-adjust:0.52;"
           "max-width:182mm;margin:0 auto;overflow-wrap:break-word;"
           "-webkit-print-color-adjust:exact;print-color-adjust:exact}"
           "h1{font-size:5.2mm;line-height:6.4mm;margin:0}"
           "h2{font-size:3.6mm;line-height:4.6mm;margin:1.2mm 0 0.6mm;break-after:avoid;"
           "border-bottom:0.35mm solid #000}"
           "p{margin:0.6mm 0}ul{margin:0.6mm 0;padding-left:4.5mm}li{margin:0.3mm 0}"
           "table{border-collapse:collapse;table-layout:fixed;width:100%;margin:0.8mm 0 1.4mm}"
           "caption{text-align:left;font-style:italic;padding-bottom:0.6mm}"
           "th,td{border:0.2mm solid #444;padding:0.22mm;text-align:center;vertical-align:middle}"
           "th{font-weight:600}thead th{background:#eee}" +
           std::string(charts().slot_tables) +
           ".stations th:nth-child(1){width:9mm}.stations th:nth-child(n+2){width:29mm}"
           ".stations th:nth-child(n+6){width:auto}"
           ".stations td,.stations th{padding:0.5mm}"
           ".blocks th:nth-child(4n+1){width:8mm}.blocks th:nth-child(4n+2){width:17mm}"
           ".blocks td,.blocks th{padding:0.4mm}"
           "td.pen{height:6mm;background:#fff}.many td.pen,.many+.others td.pen{height:4.8mm}"
           "thead{display:table-header-group}tr,figure,li{break-inside:avoid}"
           "figure{margin:0.3mm 0}figure svg{display:block}figcaption{font-style:italic}"
           ".head{display:flex;justify-content:space-between;gap:6mm;align-items:flex-start}"
           ".head p{overflow-wrap:anywhere}"
           ".head table{width:76mm;flex:none;margin:0}"
           ".head th{width:27mm}"
           ".head td.pen{height:5.6mm}"
           ".pair{display:flex;gap:4mm;align-items:center;flex-wrap:wrap}"
           ".box{flex:0 1 55mm;border:0.35mm solid #000;padding:1mm 1.1mm}"
           ".second{break-before:page}.next{break-before:page}"
           "@media screen{body{padding:8mm}}";
}

namespace {

std::string figure(const Picture& picture, const std::string& id, const std::string& caption) {
    DrawingOptions options;
    options.title = caption;
    options.id = id;
    options.paper_scale = picture.scale;
    return fmt::format("<figure>\n{}<figcaption>{}, scale {}</figcaption>\n</figure>\n",
                       drawing_svg(picture.drawing, options),
                       caption,
                       scale_text(picture.scale));
}

/// A bar of known length: a print that is not to scale shows itself.
std::string scale_box(const Picture& face, const Picture& section) {
    return fmt::format(
        "<div class=\"box\">\n<p>Scale: face {}, section {}.</p>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"52mm\" height=\"5mm\" viewBox=\"0 0 52 "
        "5\" role=\"img\" aria-label=\"A bar of 50 mm\"><path d=\"M1 0.5V4.5M51 0.5V4.5M1 "
        "2.5H51\" stroke=\"currentColor\" stroke-width=\"0.3\" fill=\"none\"/></svg>\n"
        "<p>This bar measures 50 mm (1.969 in) where the print is to scale (100 %). "
        "Make the part from the written sizes, not from the print.</p>\n</div>\n",
        scale_text(face.scale),
        scale_text(section.scale));
}

std::string blank(const std::string& what) {
    return fmt::format("<tr><th scope=\"row\">{}</th><td class=\"pen\"></td></tr>\n", what);
}

std::string head(const MachiningSheet& each) {
    const std::string bank =
        each.bank.empty() ? "" : ", " + html::escaped(geometry::bank_words(each.bank));
    const auto digest = each.case_digest.substr(0, std::string("sha256:").size() + 12);
    return fmt::format(
        "<div class=\"head\">\n<div>\n<h1>Machining sheet: {}</h1>\n<p>{}{}</p>\n"
        "<p>Case {}, plenair {}</p>\n</div>\n<table>\n<tbody>\n{}{}{}</tbody></table>\n</div>\n",
        part_name(each),
        html::escaped(each.title),
        bank,
        html::escaped(digest),
        html::escaped(version()),
        blank("Part no."),
        blank("Made by, date"),
        blank("Checked by"));
}

std::string pages(const MachiningSheet& each, std::size_t number) {
    const auto face = face_picture(each);
    const auto section = section_picture(each);
    const std::string id = std::to_string(number);
    std::string out = number > 1 ? "<article class=\"next\">\n" : "<article>\n";
    out += head(each);
    out += "<h2>Drawing</h2>\n" + figure(face, "face-" + id, face_caption(each));
    out += "<div class=\"pair\">\n" + figure(section, "section-" + id, section_caption(each)) +
           scale_box(face, section) + "</div>\n";
    out += "<h2>Sizes</h2>\n" + sizes_table(each);
    out += "<h2 class=\"second\">Measure and write down</h2>\n" + stations_table(each) +
           other_blanks_table(each);
    out += "<h2>What a deviation costs</h2>\n" + costs_table(each);
    out += "<h2>Edges and cleaning</h2>\n" + edge_rules(each);
    out += "<h2>Cautions</h2>\n" + cautions_text();
    return out + "</article>\n";
}

}  // namespace

}  // namespace sheet

std::string sheet_html(const std::vector<MachiningSheet>& sheets, const SheetOptions& options) {
    const std::string style = sheet::style_text(options.paper);
    std::string body;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        body += sheet::pages(sheets[i], i + 1);
    }
    const std::string title = sheets.empty() ? std::string() : sheets.front().title;
    return fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src {}; "
        "base-uri 'none'; form-action 'none'\">\n"
        "<meta name=\"viewport\" content=\"width=device-width\">\n"
        "<title>Machining sheet: "
        "{}</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n{}</main>\n</body>\n"
        "</html>\n",
        html::policy_source(sha256(style)),
        html::escaped(title),
        style,
        body);
}

}  // namespace plenair
