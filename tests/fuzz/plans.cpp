// [sweep], [choose] and [tolerance]: the input is added to the hill-climb four, and each of the
// three that is there is read as its verb reads it.

#include "cases/file/plans.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string four =
        fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/hill-climb-four/case.toml");
    try {
        (void)parse_with_plans(four + std::string(fuzz::text_of(data, size)), "case.toml", {});
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
