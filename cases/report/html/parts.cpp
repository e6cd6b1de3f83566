#include "cases/report/html/parts.hpp"

#include "geometry/places.hpp"

#include <fmt/format.h>

namespace plenair::html {

std::string x_note(const Place& place) {
    if (!place.source.design) return "";
    const std::string feeds =
        geometry::feed_words(place.source.design->intake, place.source.design->units);
    return "x counts from the inside face of the end wall x = 0" +
           (feeds.empty() ? feeds : "; " + escaped(feeds)) + ".";
}

std::string chart(const Place& place,
                  const std::string& kind,
                  const std::string& label,
                  const std::string& caption) {
    if (!place.scripted) return "";
    return fmt::format(
        "<figure class=\"chart\" id=\"{4}\" data-chart=\"{0}\" data-result=\"{1}\" "
        "data-label=\"{2}\">\n"
        "<div class=\"plot\"><p class=\"waiting\">Open this file in a browser that runs scripts to "
        "see this chart; its numbers are in the table.</p></div>\n"
        "<figcaption>{3} <a class=\"self\" href=\"#{4}\">Link to this chart</a></figcaption>\n"
        "</figure>\n",
        kind,
        place.index,
        escaped(label),
        caption,
        place.id("chart-" + kind));
}

}  // namespace plenair::html
