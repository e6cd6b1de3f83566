// A case file: whatever the text, it is accepted or refused with messages that can be shown as they
// are; and what is accepted reads the same again from the text that results keep.

#include "cases/file/read.hpp"
#include "cases/file/toml_write.hpp"
#include "cases/study/visible_text.hpp"
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
        fuzz::expect(!error.messages().empty() && error.messages().size() <= 21);
        for (const auto& message : error.messages()) {
            fuzz::expect(message == visible_text(message, LineEnds::written_out));
            fuzz::expect(message.size() < 6000);
        }
    }
    return 0;
}
