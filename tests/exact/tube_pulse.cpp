#include <doctest/doctest.h>

#include "tests/support/near.hpp"
#include "tests/support/pulse.hpp"

#include <cmath>

// A smooth pulse of 1 kPa in a pipe against the exact simple wave (Landau and Lifshitz 1987, sec.
// 101, from memory).
using plenair::test::pulse_error;
using plenair::test::pulse_step_error;

// Fifth-order faces for the linear part; products of cell means stand for means of products, which
// leaves second order with a factor as small as the square of the amplitude.
TEST_CASE("pulse: the error falls with order four in coarse cells and at least two in fine ones") {
    const double courant = 0.4;
    const double coarse = pulse_error(50, courant);
    const double middle = pulse_error(100, courant);
    const double fine = pulse_error(200, courant);
    const double finest = pulse_error(400, courant);
    CAPTURE(coarse);
    CAPTURE(middle);
    CAPTURE(fine);
    CAPTURE(finest);
    CHECK(std::log2(coarse / middle) > 3.5);
    CHECK(std::log2(middle / fine) > 2.0);
    CHECK(std::log2(fine / finest) > 2.0);
    CHECK(middle < 2.5e-4);
}

// Hairer, Norsett and Wanner 1993, table 1.2: the stepper is of fourth order.
TEST_CASE("pulse: the error of the step falls with order four") {
    double last = pulse_step_error(100, 1.6);
    for (const double courant : {0.8, 0.4, 0.2}) {
        const double error = pulse_step_error(100, courant);
        CAPTURE(courant);
        CHECK(std::log2(last / error) == near(4.0, 0.0, 0.2));
        last = error;
    }
}
