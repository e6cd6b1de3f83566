#include "cases/report/json.hpp"
#include "cases/report/json/tools.hpp"

namespace plenair {

std::string json_text(const CheckResult& result) {
    Json json = json_head("plenair.check/1", result.title, result.case_digest);
    json["numbers"] = Json::array();
    for (const auto& number : result.numbers) {
        json["numbers"].push_back({{"key", number.key},
                                   {"text", number.text},
                                   {"value", json_number(number.value)},
                                   {"unit", number.unit}});
    }
    json["warnings"] = result.warnings;
    json["echo"] = result.echo;
    json["assumed"] = json_assumed(result.assumed);
    return json_dump(json);
}

}  // namespace plenair
