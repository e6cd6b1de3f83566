#include "cases/study/bench.hpp"
#include "tests/support/layouts.hpp"

#include <doctest/doctest.h>

/// Every set-up of the bench finds its steady state, whatever the layout.

using namespace plenair;

namespace {

void check_found(const std::string& name, const Case& c) {
    for (const auto& set_up : bench(c).set_ups) {
        CHECK_MESSAGE(set_up.converged, name, ", ", set_up.name, ": ", set_up.failure);
    }
}

}  // namespace

TEST_CASE("bench: every set-up of the gallery of layouts is steady") {
    for (const auto& name : test::layouts()) {
        check_found(name, test::layout(name));
    }
}
