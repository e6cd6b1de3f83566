#include "cases/report/charts.hpp"
#include "cases/report/html_parts.hpp"
#include "cases/report/numbers.hpp"
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

using Contents = std::vector<std::pair<std::string, std::string>>;

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
    const auto add = [&](const char* id, const char* heading, const std::string& text) {
        writer.add(place.id(id), heading + which, text);
    };
    add("verdict", "Verdict", verdict_section(place, options));
    add("model", "Working model", model_section(place));
    add("air", "Air by cylinder", air_section(place));
    add("losses", "Losses", losses_section(place));
    add("pressure", "Pressure along the parts", pressure_section(place));
    add("slot", "Slot flow along x", slot_section(place));
    add("crank", "Crank angle", crank_section(place));
    add("fuel", "Fuel and trims", fuel_section(place));
    add("drawing", "Drawing", drawing_section(place));
    add("bench", "Why bench and engine differ", bench_section(place));
    add("limits", "Assumptions and limits", limits_section(place));
    add("convergence", "Convergence and balances", convergence_section(place));
}

std::string contents_text(const Contents& contents) {
    std::string text = "<nav aria-label=\"Contents\"><ol>\n";
    for (const auto& [id, heading] : contents) {
        text += fmt::format("<li><a href=\"#{}\">{}</a></li>\n", id, heading);
    }
    return text + "</ol></nav>\n";
}

std::string policy(bool scripted, bool live) {
    std::string text = "default-src 'none'; style-src " + policy_source(charts().style_digest);
    if (live) {
        text += "; script-src " + policy_source(charts().live_script_digest) +
                " 'wasm-unsafe-eval'; worker-src blob:";
    } else if (scripted) {
        text += "; script-src " + policy_source(charts().script_digest);
    }
    return text + "; base-uri 'none'; form-action 'none'";
}

/// Data and programs at the end of the page.
std::string scripts(const Sources& sources, const LivePage* live) {
    std::string text =
        "<script type=\"application/json\" id=\"data\">" + chart_data(sources) + "</script>\n";
    if (live != nullptr) {
        text += "<script type=\"application/json\" id=\"live-data\">" + live->data + "</script>\n";
        text += "<script type=\"text/plain\" id=\"live-module\">" + live->module + "</script>\n";
        text += "<script type=\"text/plain\" id=\"live-worker\">" + live->worker + "</script>\n";
    }
    text += "<script>";
    text += live != nullptr ? charts().live_script : charts().script;
    return text + "</script>\n";
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

std::string licences() {
    return "<footer><details><summary>Licence of the chart library in this file</summary>\n<pre "
           "tabindex=\"0\">" +
           escaped(charts().licence) + "</pre></details></footer>\n";
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

    const std::string title = escaped(page_title(sources));
    std::string page = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta name=\"color-scheme\" content=\"light dark\">\n"
        "<meta name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>",
        policy(scripted, live != nullptr),
        title);
    page += charts().style;
    page += "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#main\">To the report</a>\n";
    page += fmt::format(
        "<header class=\"page\"><p class=\"kind\">Air by cylinder</p>\n<h1>{}</h1>\n"
        "<div class=\"identity\">\n{}</div></header>\n",
        title,
        identity(sources, options));
    page += "<div class=\"frame\">\n" + contents_text(writer.contents) +
            "<main id=\"main\" tabindex=\"-1\">\n";
    if (!scripted) page += no_script_note(options.scripts);
    if (missing) page += no_model_note();
    page += writer.body + "</main>\n</div>\n";
    if (scripted) {
        page += licences();
        page += scripts(sources, live);
    }
    return page + "</body>\n</html>\n";
}

}  // namespace plenair
