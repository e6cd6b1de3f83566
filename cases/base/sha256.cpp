#include "cases/base/sha256.hpp"

#include "cases/base/sha256_stream.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

namespace plenair {
namespace {

// FIPS 180-4, 4.2.2: first 32 bits of the fractional parts of the cube roots of the first 64
// primes.
constexpr std::array<std::uint32_t, 64> round_constants = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

constexpr std::size_t block_size = 64;
using State = std::array<std::uint32_t, 8>;

std::array<std::uint32_t, 64> schedule(std::string_view block) {
    std::array<std::uint32_t, 64> w{};
    for (std::size_t i = 0; i < 16; ++i) {
        for (std::size_t b = 0; b < 4; ++b) {
            w[i] = (w[i] << 8) | static_cast<unsigned char>(block[4 * i + b]);
        }
    }
    for (std::size_t i = 16; i < 64; ++i) {
        const auto s0 = std::rotr(w[i - 15], 7) ^ std::rotr(w[i - 15], 18) ^ (w[i - 15] >> 3);
        const auto s1 = std::rotr(w[i - 2], 17) ^ std::rotr(w[i - 2], 19) ^ (w[i - 2] >> 10);
        w[i] = w[i - 16] + s0 + w[i - 7] + s1;
    }
    return w;
}

void mix(State& state, std::string_view block) {
    const auto w = schedule(block);
    State s = state;
    for (std::size_t i = 0; i < 64; ++i) {
        const auto sum1 = std::rotr(s[4], 6) ^ std::rotr(s[4], 11) ^ std::rotr(s[4], 25);
        const auto choose = (s[4] & s[5]) ^ (~s[4] & s[6]);
        const auto t1 = s[7] + sum1 + choose + round_constants[i] + w[i];
        const auto sum0 = std::rotr(s[0], 2) ^ std::rotr(s[0], 13) ^ std::rotr(s[0], 22);
        const auto majority = (s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]);
        s = {t1 + sum0 + majority, s[0], s[1], s[2], s[3] + t1, s[4], s[5], s[6]};
    }
    for (std::size_t i = 0; i < state.size(); ++i) {
        state[i] += s[i];
    }
}

}  // namespace

void Sha256::add(std::string_view bytes) {
    count_ += bytes.size();
    if (!rest_.empty()) {
        const std::size_t taken = std::min(bytes.size(), block_size - rest_.size());
        rest_ += bytes.substr(0, taken);
        bytes.remove_prefix(taken);
        if (rest_.size() < block_size) {
            return;
        }
        mix(state_, rest_);
        rest_.clear();
    }
    for (; bytes.size() >= block_size; bytes.remove_prefix(block_size)) {
        mix(state_, bytes.substr(0, block_size));
    }
    rest_ += bytes;
}

std::string Sha256::digits() const {
    constexpr std::size_t length_bytes = 8;
    Sha256 last = *this;
    std::string padding = "\x80";
    padding.append((2 * block_size - rest_.size() - 1 - length_bytes) % block_size, '\0');
    const std::uint64_t bits = count_ * 8;
    for (int shift = 56; shift >= 0; shift -= 8) {
        padding += static_cast<char>((bits >> shift) & 0xff);
    }
    last.add(padding);
    std::string hex;
    for (const auto word : last.state_) {
        for (int shift = 28; shift >= 0; shift -= 4) {
            hex += "0123456789abcdef"[(word >> shift) & 0xf];
        }
    }
    return hex;
}

std::string sha256(std::string_view bytes) {
    Sha256 digest;
    digest.add(bytes);
    return digest.digits();
}

}  // namespace plenair
