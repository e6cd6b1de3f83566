#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace plenair {

/// SHA-256 of bytes that come one after another (FIPS 180-4).
class Sha256 final {
public:
    void add(std::string_view bytes);
    /// Of all bytes so far, as 64 hexadecimal digits; more may follow.
    [[nodiscard]] std::string digits() const;

private:
    // FIPS 180-4, 5.3.3: first 32 bits of the fractional parts of the square roots of the first
    // eight primes.
    std::array<std::uint32_t, 8> state_{0x6a09e667,
                                        0xbb67ae85,
                                        0x3c6ef372,
                                        0xa54ff53a,
                                        0x510e527f,
                                        0x9b05688c,
                                        0x1f83d9ab,
                                        0x5be0cd19};
    std::string rest_;  // less than a block
    std::uint64_t count_ = 0;
};

}  // namespace plenair
