// --set and --vary: the first line of the input is set, the second is varied.

#include "cases/file/read.hpp"
#include "cases/file/vary.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

#include <algorithm>

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string rig =
        fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/header-rig/case.toml");
    std::string text(fuzz::text_of(data, size));
    // An argument ends at its first NUL.
    text.resize(std::min(text.find('\0'), text.size()));
    const auto line = std::min(text.find('\n'), text.size());
    const std::string set = text.substr(0, line);
    const std::string vary = line < text.size() ? text.substr(line + 1) : std::string();
    try {
        const Case c = parse_case(rig, "case.toml", {set});
        fuzz::expect(parse_case(c.text, "case.toml", {}).digest == c.digest);
    } catch (const InputError&) {
        // Refused.
    }
    try {
        const auto variation = parse_variation(vary);
        if (variation.values.size() < 4) {
            (void)vary_case(parse_case(rig, "case.toml", {}), variation);
        }
    } catch (const InputError&) {
        // Refused.
    }
    return 0;
}
