#include "cases/study/json_digest.hpp"

#include "cases/base/sha256.hpp"

namespace plenair {

namespace {

using Json = nlohmann::ordered_json;

}  // namespace

std::string content_digest(const Json& json) {
    nlohmann::json sorted = json;
    sorted.erase(content_digest_key);
    return "sha256:" + sha256(sorted.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Json parse_json(std::string_view text) {
    const auto deep = [](int depth, Json::parse_event_t /*event*/, Json& /*parsed*/) {
        if (depth > most_json_depth) {
            throw Json::parse_error::create(
                101, std::size_t{0}, "more levels than any file of plenair has", nullptr);
        }
        return true;
    };
    return Json::parse(text, deep);
}

std::vector<int> whole_numbers_from(const Json& json) {
    if (!json.is_array()) {
        throw Json::type_error::create(302, "a list is expected", &json);
    }
    std::vector<int> numbers;
    for (const auto& item : json) {
        numbers.push_back(whole_from(item));
    }
    return numbers;
}

Seal seal_of(const Json& json) {
    const auto found = json.find(content_digest_key);
    if (found == json.end()) {
        return Seal::missing;
    }
    return found->is_string() && found->get<std::string>() == content_digest(json) ? Seal::whole
                                                                                   : Seal::broken;
}

}  // namespace plenair
