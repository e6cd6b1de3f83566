// [sweep], [choose] and [tolerance]: the input is added to the hill-climb four, and each of the
// three that is there is read as its verb reads it. It stands before the case, so that what is no
// TOML, as most inputs are, is refused before the case is read as well.

#include "cases/file/plans.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string four = [] {
        const auto text =
            fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/hill-climb-four/case.toml");
        return text.substr(text.find("\n[") + 1);
    }();
    try {
        const std::string text = "format = 1\n" + std::string(fuzz::text_of(data, size)) + "\n";
        (void)parse_with_plans(text + four, "case.toml", {});
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
