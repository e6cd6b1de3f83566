#include "cases/report/json/tools.hpp"

#include "cases/study/json_digest.hpp"
#include "cases/study/version.hpp"
#include "cases/study/visible_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

namespace plenair {

namespace {

/// Escapes what JSON may hold as it is but a terminal would obey: C1, bidirectional controls and
/// the like. Between strings there are none, so the content stays the same.
std::string escaped_controls(std::string_view text) {
    std::string escaped;
    escaped.reserve(text.size());
    while (!text.empty()) {
        const Character c = first_character(text);
        if (c.code < 0x7f || !steers_terminal(c.code)) {
            escaped += text.substr(0, c.bytes);
        } else if (c.code <= 0xffff) {
            escaped += fmt::format("\\u{:04x}", static_cast<unsigned>(c.code));
        } else {
            const auto rest = static_cast<unsigned>(c.code - 0x10000);
            escaped +=
                fmt::format("\\u{:04x}\\u{:04x}", 0xd800 + (rest >> 10U), 0xdc00 + (rest & 0x3ffU));
        }
        text.remove_prefix(c.bytes);
    }
    return escaped;
}

}  // namespace

Json json_number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json json_numbers(const std::vector<double>& values) {
    Json array = Json::array();
    for (const double value : values) array.push_back(json_number(value));
    return array;
}

Json json_assumed(const std::vector<Assumption>& assumed) {
    Json array = Json::array();
    for (const auto& entry : assumed) {
        Json json = {{"entry", entry.key}, {"value", entry.value}, {"basis", entry.basis}};
        if (!entry.within.empty()) json["within"] = entry.within;
        array.push_back(std::move(json));
    }
    return array;
}

Json json_head(const std::string& format,
               const std::string& title,
               const std::string& case_digest) {
    return {{"format", format},
            {"version", version()},
            {"git_sha", git_sha()},
            {"title", title},
            {"case_digest", case_digest}};
}

std::string json_dump(const Json& json) {
    Json sealed = json;
    if (sealed.is_object() && sealed.contains("format")) {
        sealed[content_digest_key] = content_digest(sealed);
    }
    const std::string text = sealed.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
    return escaped_controls(text);
}

}  // namespace plenair
