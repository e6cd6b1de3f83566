#include "cases/report/html/frame.hpp"

#include "cases/report/charts/charts.hpp"
#include "cases/report/markup/markup.hpp"

#include <fmt/format.h>

#include <map>
#include <string_view>

namespace plenair::html {

namespace {

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
std::string scripts(const std::string& data, const LivePage* live) {
    std::string text = "<script type=\"application/json\" id=\"data\">" + data + "</script>\n";
    if (live != nullptr) {
        text += "<script type=\"application/json\" id=\"live-data\">" + live->data + "</script>\n";
        text += "<script type=\"text/plain\" id=\"live-module\">" + live->module + "</script>\n";
        text += "<script type=\"text/plain\" id=\"live-worker\">" + live->worker + "</script>\n";
    }
    text += "<script>";
    text += live != nullptr ? charts().live_script : charts().script;
    return text + "</script>\n";
}

/// Every scrolling region with a name of its own: a reader of landmarks tells them apart.
std::string with_unique_regions(const std::string& page) {
    constexpr std::string_view mark = "role=\"region\" aria-label=\"";
    std::map<std::string, int> seen;
    // Sections are landmarks, too, under their headings.
    for (auto at = page.find("<h2 "); at != std::string::npos; at = page.find("<h2 ", at + 1)) {
        const auto start = page.find('>', at) + 1;
        ++seen[page.substr(start, page.find('<', start) - start)];
    }
    std::string text;
    std::size_t from = 0;
    for (auto at = page.find(mark); at != std::string::npos; at = page.find(mark, from)) {
        const auto start = at + mark.size();
        const auto end = page.find('"', start);
        const std::string name = page.substr(start, end - start);
        text += page.substr(from, end - from);
        if (const int count = ++seen[name]; count > 1) text += fmt::format(", {}", count);
        from = end;
    }
    return text + page.substr(from);
}

std::string licences() {
    return "<footer><details><summary>Licence of the chart library in this file</summary>\n<pre "
           "tabindex=\"0\">" +
           escaped(charts().licence) + "</pre></details></footer>\n";
}

}  // namespace

std::string page_text(const PageParts& parts) {
    std::string page = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta name=\"color-scheme\" content=\"light dark\">\n"
        "<meta name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>",
        policy(parts.scripted, parts.live != nullptr),
        parts.title);
    page += charts().style;
    page += "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#main\">To the report</a>\n";
    page += fmt::format(
        "<header class=\"page\"><p class=\"kind\">{}</p>\n<h1>{}</h1>\n"
        "<div class=\"identity\">\n{}</div></header>\n",
        parts.kind,
        parts.title,
        parts.identity);
    page += "<div class=\"frame\">\n" + contents_text(parts.contents) +
            "<main id=\"main\" tabindex=\"-1\">\n";
    page += with_unique_regions(parts.body) + "</main>\n</div>\n";
    if (parts.scripted) {
        page += licences();
        page += scripts(parts.data, parts.live);
    }
    return page + "</body>\n</html>\n";
}

}  // namespace plenair::html
