// --set: the input is one override of a rig.

#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string rig =
        fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/header-rig/case.toml");
    try {
        const Case c = parse_case(rig, "case.toml", {fuzz::argument_of(data, size)});
        fuzz::expect(parse_case(c.text, "case.toml", {}).digest == c.digest);
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
