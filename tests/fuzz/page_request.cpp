// Requests of a report's page. The case behind them is a rig without an engine: everything is read
// and refused as from any case, and nothing is marched.

#include "cases/live/answer.hpp"
#include "tests/fuzz/fuzz.hpp"

#include <nlohmann/json.hpp>

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string rig =
        fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/header-rig/case.toml");
    LiveModel model(rig, "case.toml");
    const std::string answer = model.answer(std::string(fuzz::text_of(data, size)));
    const auto json = nlohmann::json::parse(answer);
    const auto refused = [](const nlohmann::json& part) {
        return part.is_object() && !part.value("ok", true) && part.at("status") == 2;
    };
    if (json.contains("curve")) {
        for (const auto& value : json.at("curve")) {
            fuzz::expect(refused(value));
        }
    } else {
        fuzz::expect(refused(json));
    }
    return 0;
}
