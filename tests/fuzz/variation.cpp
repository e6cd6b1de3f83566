// --vary: the input is an entry of a rig and its values.

#include "cases/file/read.hpp"
#include "cases/file/vary.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Case rig = read_case(PLENAIR_SOURCE_DIR "/cases/shipped/header-rig/case.toml", {});
    try {
        auto variation = parse_variation(fuzz::argument_of(data, size));
        // Each value is read as --set reads it: two show what there is to see, in a bearable time.
        variation.values.resize(std::min<std::size_t>(variation.values.size(), 2));
        (void)vary_case(rig, variation);
    } catch (const InputError& error) {
        fuzz::expect(!error.messages().empty());  // they quote the option; the terminal escapes it
    }
    return 0;
}
