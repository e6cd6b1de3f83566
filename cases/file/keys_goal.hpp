#pragma once

#include "cases/file/key.hpp"

/// Keys of the sections that say what is wanted of a design.
namespace plenair::file {

void add_choose_keys(std::vector<Key>& table);
void add_tolerance_keys(std::vector<Key>& table);
void add_learned_keys(std::vector<Key>& table);

}  // namespace plenair::file
