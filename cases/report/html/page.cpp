#include "cases/report/charts/charts.hpp"
#include "cases/report/html/frame.hpp"
#include "cases/report/html/parts.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <stdexcept>
#include <utility>

namespace plenair {

namespace {

using namespace html;
/// Of a digest's 71 signs the first that tell cases apart; all of it stands under the assumptions.
constexpr std::size_t shown_digest = 23;

/// Numbers as both files give them back: JSON holds 12 digits of the converted number.
template <class Result>
void settle(const std::vector<Quantity<Result>>& quantities, Result& result) {
    for (const auto& quantity : quantities) {
        double& value = result.*quantity.member;
        value = quantity.from_exchanged(quantity.to_exchanged(value));
    }
}

/// What both sections and the list of contents know of one section.
struct Writer {
    std::string body;
    Contents contents;
    void add(const std::string& id, const std::string& heading, const std::string& text) {
        if (text.empty()) return;
        body += text;
        contents.emplace_back(id, heading);
    }
};

void add_result(Writer& writer, const Place& place, const ReportOptions& options) {
    if (!place.alone) {
        writer.body += fmt::format(
            "<header class=\"result\"><p>Result {}</p><h2 "
            "class=\"name\">{}</h2><p>{}</p></header>\n",
            static_cast<char>('A' + static_cast<int>(place.index % 26)),
            escaped(place.source.name),
            escaped(place.result().title));
    }
    const std::string which =
        place.alone
            ? ""
            : fmt::format(" {}", static_cast<char>('A' + static_cast<int>(place.index % 26)));
    const auto add = [&](const char* id, const char* heading, std::string text) {
        // Of several results each section has its letter, so that no two have one name.
        const auto end = text.find("</h2>");
        if (!which.empty() && end != std::string::npos) text.insert(end, "," + which);
        writer.add(place.id(id), heading + which, text);
    };
    // A first page for each reader; what follows is for all of them.
    add("verdict", "For the designer: verdict", verdict_section(place, options));
    add("machinist", "For the machinist: the slot", machinist_section(place));
    add("fuel", "For the tuner: fuel and trims", fuel_section(place));
    add("learned", "What was measured", learned_section(place));
    add("model", "Working model", model_section(place));
    add("air", "Air by cylinder", air_section(place, options.target));
    add("reasons", "What moves the spread", reasons_section(place));
    add("losses", "Losses", losses_section(place));
    add("pressure", "Pressure along the parts", pressure_section(place));
    add("slot", "Slot flow along x", slot_section(place));
    add("crank", "Crank angle", crank_section(place));
    add("drawing", "Drawing", drawing_section(place));
    add("bench", "Why bench and engine differ", bench_section(place));
    add("limits", "Assumptions and limits", limits_section(place));
    add("convergence", "Convergence and balances", convergence_section(place));
}

std::string page_title(const Sources& sources) {
    return sources.size() == 1 ? sources.front().result.title
                               : fmt::format("Comparison of {} results", sources.size());
}

/// Free text of the case, as its entries echo it; empty without.
std::string notes_of(const ReportSource& source) {
    const std::string key = "case.notes = ";
    if (!source.design) return "";
    for (const auto& line : source.design->echo) {
        if (line.starts_with(key)) return line.substr(key.size());
    }
    return "";
}

std::string identity(const Sources& sources, const ReportOptions& options) {
    std::string text;
    for (const auto& source : sources) {
        text += fmt::format("<p>{}case <code>{}</code></p>\n",
                            sources.size() > 1 ? escaped(source.name) + ": " : "",
                            escaped(source.result.case_digest.substr(0, shown_digest)));
        if (const auto notes = notes_of(source); !notes.empty()) {
            text += paragraph(escaped(notes), "notes");
        }
    }
    text += fmt::format("<p>plenair {} ({})</p>\n", escaped(version()), escaped(git_sha()));
    if (!options.time.empty()) {
        text += "<p class=\"time\">Report made: " + escaped(options.time) + "</p>\n";
    }
    return text;
}

std::string no_script_note(bool asked) {
    return paragraph(asked
                         ? "This plenair was built without the chart library: charts along the "
                           "parts, against speed and against crank angle are missing here."
                         : "Static report without scripts: the working model and charts along the "
                           "parts, against speed and against crank angle are left out; their "
                           "numbers are in the tables.",
                     "note");
}

std::string no_model_note() {
    return paragraph(
        "This plenair was built without the working model: every figure in this page is a stored "
        "one.",
        "note");
}

}  // namespace

SolveResult settled(SolveResult result) {
    for (auto& point : result.points) {
        settle(point_quantities(), point);
        for (auto& c : point.cylinders) settle(cylinder_quantities(), c);
        for (auto& part : point.band_parts) settle(band_part_quantities(), part);
        for (auto& bank : point.banks) settle(bank_quantities(), bank);
    }
    for (auto& curve : result.curves) {
        if (!curve.worst) continue;
        settle(point_quantities(), *curve.worst);
        for (auto& c : curve.worst->cylinders) settle(cylinder_quantities(), c);
    }
    return result;
}

std::string html_text(const std::vector<ReportSource>& given, const ReportOptions& options) {
    if (given.empty()) throw std::invalid_argument("html_text: no result");
    Sources sources = given;
    for (auto& source : sources) source.result = settled(std::move(source.result));
    const bool scripted = options.scripts && !charts().script.empty();
    const bool alone = sources.size() == 1;
    const LivePage* live = nullptr;
    bool missing = false;  // wanted, but this build has no compiled model
    for (auto& source : sources) {
        const bool wanted = scripted && alone && options.live && !charts().live_script.empty();
        if (source.live && wanted && source.live->module.empty()) missing = true;
        if (source.live && (!wanted || missing)) source.live.reset();
        if (source.live) live = &*source.live;
    }
    Writer writer;
    if (!alone) writer.add("comparison", "Comparison", comparison_section(sources, scripted));
    for (std::size_t i = 0; i < sources.size(); ++i) {
        add_result(writer, {sources[i], i, alone, scripted}, options);
    }
    writer.add("cautions", "Cautions", cautions_section(sources));

    PageParts page;
    page.kind = "Air by cylinder";
    page.title = escaped(page_title(sources));
    page.identity = identity(sources, options);
    page.contents = std::move(writer.contents);
    if (!scripted) page.body += no_script_note(options.scripts);
    if (missing) page.body += no_model_note();
    page.body += writer.body;
    page.scripted = scripted;
    page.live = live;
    if (scripted) page.data = chart_data(sources);
    return page_text(page);
}

}  // namespace plenair
