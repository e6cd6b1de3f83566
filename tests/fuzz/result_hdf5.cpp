// An HDF5 result. Its digest keeps damaged bytes from HDF5's own library, which does not survive
// them all; so nothing that was not written whole may ever be taken in.

#include "cases/base/sha256.hpp"
#include "cases/store/store.hpp"
#include "cases/study/error.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace plenair;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const fuzz::MemoryFile file;
    const auto bytes = fuzz::text_of(data, size);
    try {
        (void)read_results(file.holding(bytes));
    } catch (const ReadError&) {
        return 0;
    }
    // Taken in: then its last line must be the digest of all before it.
    constexpr std::size_t line = 1 + 64;
    fuzz::expect(size > line + 24);
    const auto seal = bytes.rfind("\nplenair content sha256:");
    fuzz::expect(seal != std::string_view::npos);
    fuzz::expect(bytes.substr(size - line, 64) == sha256(bytes.substr(0, seal)));
    return 0;
}
