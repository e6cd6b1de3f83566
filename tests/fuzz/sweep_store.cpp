// What a sweep keeps in its folder: sweep.json, as it is and with its digest made right, and
// blocks, as they are and as the records inside one whose digest is right.

#include "cases/base/sha256.hpp"
#include "cases/store/sweep_codec.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "tests/fuzz/fuzz.hpp"

#include <vector>

using namespace plenair;

namespace {

SweepInfo info_of_two() {
    SweepInfo info;
    info.digest = "sha256:01";
    info.inputs = {{"slot.width", true, "m", "mm"}};
    info.points = {"A4"};
    info.cylinders = {1, 2};
    info.firing_positions = {1, 2};
    info.count = 2;
    info.block_size = 8;
    return info;
}

void read_info(std::string_view text) {
    try {
        std::string program;
        const SweepInfo info = decode_info(text, "sweep.json", program);
        fuzz::expect(info.block_size > 0);
    } catch (const ReadError&) {
        // Refused.
    }
}

void read_block(const std::vector<std::uint8_t>& bytes) {
    static const SweepInfo info = info_of_two();
    try {
        fuzz::expect(decode_block(info, 0, bytes, "block").size() == 2);
    } catch (const ReadError&) {
        // Refused.
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using Json = nlohmann::ordered_json;
    const auto text = fuzz::text_of(data, size);
    read_info(text);
    try {
        auto json = parse_json(text);
        if (json.is_object()) {
            json[content_digest_key] = content_digest(json);
            read_info(json.dump(-1, ' ', false, Json::error_handler_t::replace));
        }
    } catch (const nlohmann::json::exception&) {
        // No JSON.
    }
    const std::vector<std::uint8_t> bytes(data, data + size);
    read_block(bytes);
    // Its digest right, so that what it holds is reached.
    static const Json whole = Json::from_cbor(encode_block(info_of_two(), 0, {}));
    Json block = whole;
    block["sha256"] = sha256(text);
    block["records"] = Json::binary(bytes);
    read_block(Json::to_cbor(block));
    return 0;
}
