#pragma once

#include "cases/study/sweep.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace plenair {

/// sweep.json: what a sweep folder belongs to.
[[nodiscard]] std::string encode_info(const SweepInfo& info);

/// @param program  who wrote it, "0.1.0 (0123456789ab)"
/// @throws ReadError  with `path`
[[nodiscard]] SweepInfo decode_info(std::string_view text,
                                    const std::string& path,
                                    std::string& program);

/// "0.1.0 (0123456789ab)" of this program.
[[nodiscard]] std::string this_program();

/// One block as CBOR (RFC 8949), its records a byte string of CBOR with their SHA-256 beside them;
/// equal records give equal bytes.
[[nodiscard]] std::vector<std::uint8_t> encode_block(const SweepInfo& info,
                                                     std::size_t block,
                                                     const std::vector<VariantRecord>& records);
/// @throws ReadError  where the bytes are not this block of this sweep
[[nodiscard]] std::vector<VariantRecord> decode_block(const SweepInfo& info,
                                                      std::size_t block,
                                                      const std::vector<std::uint8_t>& bytes,
                                                      const std::string& path);

}  // namespace plenair
