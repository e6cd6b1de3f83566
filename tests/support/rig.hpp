#pragma once

#include "tests/support/by_program.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <string>
#include <vector>

/// Flow-bench rigs written as case files, so that a closed form is held against the same reader,
/// builder and network that an intake goes through.
namespace plenair::test {

/// Runs the one set-up of a case and requires that it converged.
inline BenchResult run_rig(const std::string& text) {
    const BenchStudyResult study = bench_of(text);
    REQUIRE(study.set_ups.size() == 1);
    REQUIRE_MESSAGE(study.set_ups.front().converged, study.set_ups.front().failure);
    return study.set_ups.front();
}

/// Air at rest of round numbers in front of the rig, and how deep the bench draws [Pa].
inline std::string source_text(double depression, const std::string& set_up) {
    return fmt::format(R"(format = 1
[source]
pressure = "101.325 kPa abs"
temperature = "293.15 K"
[bench]
set_ups = ["{}"]
depression = "{:.17g} Pa"
)",
                       set_up,
                       depression);
}

/// Model without whatever a closed form leaves out.
struct PlainModel {
    double regain = 1.0;
    double crossflow_loss = 0.90;
    double darcy = 0;  ///< fixed friction factor; 0: no friction
    std::string mouth_law = "lateral";
    double mixing_length = 0;  ///< 0: no jet
    double largest_cell = 0;  ///< [mm]; 0: certified
};

inline std::string model_text(const PlainModel& m) {
    std::string text = fmt::format(
        "[model]\nregain = {:.17g}\ncrossflow_loss = {:.17g}\n"
        "mouth_law = \"{}\"\nslot_compressibility = \"off\"\n",
        m.regain,
        m.crossflow_loss,
        m.mouth_law);
    text += m.darcy > 0 ? fmt::format("friction = \"darcy {:.15f}\"\n", m.darcy)
                        : std::string("friction = \"off\"\n");
    text += m.mixing_length > 0 ? fmt::format("jet = \"on\"\nmixing_length = {}\n", m.mixing_length)
                                : std::string("jet = \"off\"\n");
    if (m.largest_cell > 0) {
        text += fmt::format("cells = \"largest cell {:.15f} mm\"\n", m.largest_cell);
    }
    return text;
}

/// Straight or tapered header, open to the source at x = 0 and closed at the other end, that
/// discharges into the room through one slot over its whole length.
struct SlotHeader {
    double area = 1963.5;  ///< [mm2], at the open end
    double end_over_start = 1;  ///< area at the closed end over that at the open end
    double length = 400;  ///< [mm]
    double width = 4;  ///< of the slot [mm]
    double cd = 0.62;
    double depression = 20;  ///< [Pa]; so low that the air keeps its density to 1e-4
    PlainModel model;

    /// Discharge coefficient x slot area / header area at the open end.
    [[nodiscard]] double area_ratio() const { return cd * width * length / area; }
    /// Darcy factor that makes f L/D = `friction` with D of the circle of equal area.
    [[nodiscard]] double darcy_for(double friction) const {
        return friction * std::sqrt(4 * area / std::acos(-1.0)) / length;
    }
    [[nodiscard]] std::string text() const {
        return source_text(depression, "slot") +
               fmt::format(R"([pre_chamber]
length = "{0:.17g} mm"
area = {{ x = "0, {0:.17g} mm", value = "{1:.12f}, {2:.12f} mm2" }}
feed = "open"
[slot]
x = "0 mm"
length = "{0:.17g} mm"
width = "{3:.15f} mm"
cd = {4:.17g}
)",
                           length,
                           area,
                           area * end_over_start,
                           width,
                           cd) +
               model_text(model);
    }
};

/// Straight or tapered header with runners that all discharge into the room.
struct RunnerHeader {
    int runners = 8;
    double area_ratio = 0.25;  ///< runner area over header area at the open end
    double end_over_start = 1;
    double rest_loss = 4;  ///< K of all that follows the runner's entry, exit head included
    double entry_loss = 0.40;
    double bore = 25;  ///< of a runner [mm]
    double pitch = 60;  ///< [mm]
    double depression = 200;  ///< [Pa]
    PlainModel model;

    [[nodiscard]] std::string text() const {
        const double length = runners * pitch;
        const double area = std::acos(-1.0) / 4 * bore * bore / area_ratio;
        std::string places;
        for (int i = 0; i < runners; ++i) {
            places += fmt::format("{}{:.17g}", i == 0 ? "" : ", ", (i + 0.5) * pitch);
        }
        return source_text(depression, "all") +
               fmt::format(R"([plenum]
length = "{0:.17g} mm"
area = {{ x = "0, {0:.17g} mm", value = "{1:.12f}, {2:.12f} mm2" }}
feed = "open"
[runner]
x = "{3} mm"
length = "150 mm"
diameter = "{4:.17g} mm"
entry_loss = {5:.17g}
exit_loss = {6:.17g}
)",
                           length,
                           area,
                           area * end_over_start,
                           places,
                           bore,
                           entry_loss,
                           rest_loss) +
               model_text(model);
    }
};

inline double mean(const std::vector<double>& v) {
    return std::accumulate(v.begin(), v.end(), 0.0) / static_cast<double>(v.size());
}

/// Values over their mean.
inline std::vector<double> over_mean(std::vector<double> v) {
    const double m = mean(v);
    for (double& value : v) {
        value /= m;
    }
    return v;
}

/// Largest minus smallest.
inline double spread(const std::vector<double>& v) {
    return *std::max_element(v.begin(), v.end()) - *std::min_element(v.begin(), v.end());
}

/// Cubic through the four outermost cell means (as a primitive), evaluated at the wall itself:
/// published end values are those at the end of the slot, not of its last cell.
inline double at_start(const std::vector<double>& v) {
    REQUIRE(v.size() > 3);
    return (25 * v[0] - 23 * v[1] + 13 * v[2] - 3 * v[3]) / 12;
}

inline double at_end(const std::vector<double>& v) {
    return at_start(std::vector<double>(v.rbegin(), v.rend()));
}

}  // namespace plenair::test
