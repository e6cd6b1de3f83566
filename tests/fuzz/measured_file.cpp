// A measured file of the hill-climb four: whatever the text, it is accepted or refused with
// messages that can be shown as they are. The CSV files that it may name are in a folder that is
// not there.

#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Case four =
        read_case(PLENAIR_SOURCE_DIR "/cases/shipped/hill-climb-four/case.toml", {});
    try {
        const Measured m =
            parse_measured(fuzz::text_of(data, size), "no-such-folder/measured.toml", four);
        fuzz::expect(m.reading_count() > 0);
        fuzz::expect_sound(m);
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
