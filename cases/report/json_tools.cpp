#include "cases/report/json_tools.hpp"

#include "cases/study/version.hpp"

#include <cmath>

namespace plenair {

Json json_number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json json_numbers(const std::vector<double>& values) {
    Json array = Json::array();
    for (const double value : values) array.push_back(json_number(value));
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
    return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace plenair
