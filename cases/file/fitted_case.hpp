#pragma once

#include "cases/study/case.hpp"
#include "cases/study/fit.hpp"
#include "cases/study/measured.hpp"

#include <string>

namespace plenair {

/// The case file with what was gauged and fitted in place of what was drawn, comments and order
/// kept, and a head that says where it came from. Entries that the readings said nothing about
/// stay.
[[nodiscard]] std::string fitted_case(const Case& c,
                                      const Measured& measured,
                                      const FitResult& result);

}  // namespace plenair
