#include <doctest/doctest.h>

#include "cases/file/reading.hpp"
#include "tests/support/near.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <string>

// Frequency response of rigs, through the case file.
using namespace plenair;

namespace {

constexpr double sound = 344.0;  // of a gas of 1.4 and 287.05 J/kg K at this temperature:
constexpr double temperature = sound * sound / (1.4 * 287.05);

ResponseStudyResult ask(const std::string& parts) {
    const std::string text = fmt::format(R"(format = 1
[source]
gas_constant = 287.05
gamma = 1.4
temperature = "{:.10f} K"
{})",
                                         temperature,
                                         parts);
    auto study = response(file::response_of(file::read_once(text, "rig.toml", {})));
    REQUIRE_MESSAGE(study.rig.finished, study.rig.failure);
    return study;
}

/// A pipe of 1 m, open to the swing and closed at its end, from 20 Hz to `highest`.
ResponseStudyResult ask_closed_pipe(int highest, int steps) {
    return ask(fmt::format(R"([plenum]
length = "1000 mm"
area = "1963.5 mm2"
feed = "open"
[model]
friction = "off"
cells = "largest cell 10 mm"
[response]
from = "20 Hz"
to = "{} Hz"
steps = {}
)",
                           highest,
                           steps));
}

const AnsweringSeries& answer(const ResponseStudyResult& study, const std::string& name) {
    const auto& series = study.rig.series;
    const auto found =
        std::find_if(series.begin(), series.end(), [&](const auto& s) { return s.name == name; });
    REQUIRE(found != series.end());
    return *found;
}

}  // namespace

// A pipe open to the swing and closed at its end: p(L)/p(0) = 1/cos(k L), k = omega/a, with the
// answer's damping as the imaginary part of omega (Kinsler et al. 2000, ch. 10).
TEST_CASE("response: a closed pipe answers with one over the cosine") {
    const auto study = ask_closed_pipe(400, 39);
    const auto& end = answer(study, "plenum pressure at the far end");
    for (std::size_t i = 0; i < study.rig.frequency.size(); ++i) {
        const std::complex<double> omega(2.0 * std::numbers::pi * study.rig.frequency[i],
                                         -study.rig.damping);
        const auto k = omega / sound;
        // The last cell's middle stands half a cell before the wall.
        const auto expected = std::cos(k * 0.005) / std::cos(k * 1.0);
        CAPTURE(study.rig.frequency[i]);
        CHECK(std::abs(end.per_pascal[i] - expected) < 0.02 * std::abs(expected));
    }
}

// The same with many frequencies: its first peaks are those of quarter waves, (2 n - 1) a/(4 L).
TEST_CASE("response: the peaks of a closed pipe are its quarter waves") {
    const auto study = ask_closed_pipe(500, 961);
    std::vector<double> peaks;
    for (const auto& peak : study.peaks) {
        if (study.rig.series[peak.series].name == "plenum pressure at the far end") {
            peaks.push_back(peak.frequency);
        }
    }
    REQUIRE(peaks.size() >= 3);
    for (int n = 0; n < 3; ++n) {
        CHECK(peaks[static_cast<std::size_t>(n)] == near((2 * n + 1) * sound / 4.0, 1e-3));
    }
}

// A neck of 40 x 85 mm before a cavity of 153.2 x 244.2 mm without end corrections: with the neck
// at x of the cavity tan(k l_n) (tan(k x) + tan(k (L - x))) = A_n/A_c (Kinsler et al. 2000, ch. 10;
// at the cavity's end 95.762 Hz).
TEST_CASE("response: a neck and a cavity sound at the root of their tangents") {
    constexpr double neck = 0.085, length = 0.2442, x = 0.020;
    const double ratio = (40.0 * 40.0) / (153.2 * 153.2);
    const auto miss = [&](double f) {
        const double k = 2.0 * std::numbers::pi * f / sound;
        return std::tan(k * neck) * (std::tan(k * x) + std::tan(k * (length - x))) - ratio;
    };
    double low = 50.0, high = 150.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (miss(middle) < 0.0 ? low : high) = middle;
    }
    const auto study = ask(R"([plenum]
length = "244.2 mm"
diameter = "153.2 mm"
[runner]
x = "20 mm"
length = "85 mm"
diameter = "40 mm"
entry_loss = 0
[model]
friction = "off"
cells = "largest cell 5 mm"
[response]
at = "room"
from = "50 Hz"
to = "150 Hz"
steps = 201
)");
    REQUIRE(!study.peaks.empty());
    CHECK(study.peaks.front().frequency == near(low, 5e-3));
}
