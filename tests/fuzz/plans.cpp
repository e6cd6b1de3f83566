// [sweep], [choose] and [tolerance]: the input is added to the hill-climb four, and each of the
// three is read as its verb reads it.

#include "cases/file/choose.hpp"
#include "cases/file/sweep.hpp"
#include "cases/file/tolerance.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

namespace {

template <class Read>
void refused_or_read(const Read& read) {
    try {
        (void)read();
    } catch (const InputError& error) {
        fuzz::expect(!error.messages().empty());
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const std::string four =
        fuzz::file_text(PLENAIR_SOURCE_DIR "/cases/shipped/hill-climb-four/case.toml");
    static const fuzz::MemoryFile file;
    const std::string& path = file.holding(four + std::string(fuzz::text_of(data, size)));
    refused_or_read([&] { return read_sweep(path, {}); });
    refused_or_read([&] { return read_choose(path, {}); });
    refused_or_read([&] { return read_tolerance(path, {}); });
    return 0;
}
