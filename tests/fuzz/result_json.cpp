// A JSON result: as it is, where the digest refuses nearly everything, and with the digest made
// right, so that the reader behind it is reached as well.

#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

namespace {

void read(const std::string& path) {
    try {
        (void)read_results_json(path);
    } catch (const ReadError&) {
        // Refused.
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const fuzz::MemoryFile file;
    const auto text = fuzz::text_of(data, size);
    read(file.holding(text));
    try {
        auto json = parse_json(text);
        if (json.is_object()) {
            json[content_digest_key] = content_digest(json);
            using Json = nlohmann::ordered_json;
            read(file.holding(json.dump(-1, ' ', false, Json::error_handler_t::replace)));
        }
    } catch (const nlohmann::json::exception&) {
        // No JSON.
    }
    return 0;
}
