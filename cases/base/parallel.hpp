#pragma once

#include <cstddef>
#include <functional>

namespace plenair {

/// Threads for a wish of so many, 0: all cores. At least one.
[[nodiscard]] std::size_t threads_of(int wish);

/// Does job(0) .. job(count - 1) on up to `threads` threads (0: all cores); each job once, in any
/// order. Where jobs throw, all others are still done and the error of the first in number passes.
void for_each_job(std::size_t count, int threads, const std::function<void(std::size_t)>& job);

}  // namespace plenair
