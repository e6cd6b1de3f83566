// A case file: whatever the text, it is accepted or refused with messages that can be shown as they
// are; and what is accepted reads the same again from the text that results keep.

#include "cases/file/read.hpp"
#include "cases/file/toml_write.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        const Case c = parse_case(fuzz::text_of(data, size), "case.toml", {});
        // An override that changes nothing makes the program write the text itself.
        const Case again = parse_case(c.text, "case.toml", {"format=1"});
        fuzz::expect(again.digest == c.digest);
        fuzz::expect(parse_case(again.text, "case.toml", {}).digest == c.digest);
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
