#pragma once

#include <cstddef>
#include <string>

namespace plenair {

/// Before a sweep makes or fills its folder: it is absent, empty, or holds a sweep, be it one that
/// was stopped before it described itself. Whether it is this sweep, SweepStore says.
/// @throws InputError  where it is a file, or holds something else, which could be overwritten
/// @throws ReadError  where it cannot be listed
void refuse_foreign_folder(const std::string& folder);

/// N of the parts "K/N" in which the folder's sweep was computed, as their locks tell; the largest
/// where they differ, 1 where the sweep was computed whole.
[[nodiscard]] std::size_t parts_of_sweep(const std::string& folder);

}  // namespace plenair
