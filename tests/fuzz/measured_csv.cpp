// The CSV files that a measured file names: a logger's, with each separator, and a sheet of gauged
// widths. The first byte of the input says which, the rest is the file.

#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

#include <array>

using namespace plenair;

namespace {

/// The measured file for each kind, with @ where the name of the CSV file stands.
std::string measured_text(std::size_t kind, const std::string& name) {
    const std::string log =
        "[[log]]\nfile = \"@\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\npressure = \"p | kPa abs\"\n"
        "lambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\nsteady_time = \"1 s\"\n";
    const std::array<std::string, 4> kinds{
        log,
        log + "separator = \"semicolon\"\n",
        log + "separator = \"tab\"\n",
        "[[gauge]]\nentry = \"slot.width\"\nfile = \"@\"\ncolumns = [\"x | mm\", \"w | mm\"]\n"};
    std::string text = "format = 1\n" + kinds.at(kind);
    return text.replace(text.find('@'), 1, name);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Case four =
        read_case(PLENAIR_SOURCE_DIR "/cases/shipped/hill-climb-four/case.toml", {});
    static const fuzz::MemoryFile file;
    if (size == 0) {
        return 0;
    }
    const std::string& path = file.holding(fuzz::text_of(data + 1, size - 1));
    const auto slash = path.rfind('/') + 1;
    try {
        fuzz::expect_sound(parse_measured(measured_text(data[0] % 4U, path.substr(slash)),
                                          path.substr(0, slash) + "measured.toml",
                                          four));
    } catch (const InputError& error) {
        fuzz::expect_shown(error);
    }
    return 0;
}
