#include "geometry/look_alikes.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace plenair::geometry {

namespace {

/// Characters that only look like those of numbers, as word processors and foreign keyboards make
/// them, and what is meant.
constexpr std::pair<std::string_view, std::string_view> look_alikes[] = {
    {"\u00a0", " "},    {"\u2000", " "},   {"\u2001", " "}, {"\u2002", " "}, {"\u2003", " "},
    {"\u2004", " "},    {"\u2005", " "},   {"\u2006", " "}, {"\u2007", " "}, {"\u2008", " "},
    {"\u2009", " "},    {"\u200a", " "},   {"\u202f", " "}, {"\u205f", " "}, {"\u3000", " "},
    {"\u2212", "-"},    {"\u2010", "-"},   {"\u2011", "-"}, {"\u2012", "-"}, {"\u2013", "-"},
    {"\uff0d", "-"},    {"\uff0b", "+"},   {"\uff0e", "."}, {"\uff0c", ","}, {"\uff10", "0"},
    {"\uff11", "1"},    {"\uff12", "2"},   {"\uff13", "3"}, {"\uff14", "4"}, {"\uff15", "5"},
    {"\uff16", "6"},    {"\uff17", "7"},   {"\uff18", "8"}, {"\uff19", "9"}, {"\u00bc", " 1/4"},
    {"\u00bd", " 1/2"}, {"\u00be", " 3/4"}};

}  // namespace

std::optional<std::string> plain_signs(std::string_view whole) {
    const auto foreign = [](char c) { return (static_cast<unsigned char>(c) & 0x80U) != 0; };
    if (std::none_of(whole.begin(), whole.end(), foreign)) {
        return std::nullopt;
    }
    std::string result;
    std::string_view text = whole;
    while (!text.empty()) {
        const auto* found =
            std::find_if(std::begin(look_alikes), std::end(look_alikes), [&](const auto& each) {
                return text.starts_with(each.first);
            });
        const bool alike = found != std::end(look_alikes);
        result += alike ? found->second : text.substr(0, 1);
        text.remove_prefix(alike ? found->first.size() : 1);
    }
    return result == whole ? std::nullopt : std::optional(result);
}

}  // namespace plenair::geometry
