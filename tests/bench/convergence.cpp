// Measured convergence of pulse, manifold and engine in cells and in step, as JSON. Run by
// scripts/convergence, which writes docs/convergence.md from it.
#include "tests/support/choked_header.hpp"
#include "tests/support/engine.hpp"
#include "tests/support/pulse.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <stdexcept>
#include <string>
#include <vector>

namespace {

using namespace plenair;
using nlohmann::json;

/// One line of the table: sizes (cells, or Courant number) with the error at each.
json series(const std::string& name, const std::string& quantity, const std::string& refined) {
    return {{"name", name}, {"quantity", quantity}, {"refined", refined}, {"rows", json::array()}};
}

json pulse_cells() {
    json s = series("pulse", "density, rms over amplitude", "cells");
    for (const int cells : {25, 50, 100, 200, 400}) {
        s["rows"].push_back({cells, test::pulse_error(cells, 0.4)});
    }
    return s;
}

json pulse_steps() {
    json s = series("pulse", "density, rms over amplitude", "step");
    for (const double courant : {1.6, 0.8, 0.4, 0.2}) {
        s["rows"].push_back({courant, test::pulse_step_error(100, courant)});
    }
    return s;
}

json manifold_cells() {
    json s = series("manifold", "outflow of the slot, rms", "cells");
    for (const int cells : {20, 40, 80, 160}) {
        s["rows"].push_back({cells, test::choked_header_errors(1.05, cells).outflow});
    }
    return s;
}

json manifold_steps() {
    json s = series("manifold", "pressure while starting, rms over depression", "step");
    const int cells = 40;
    const int most = static_cast<int>(std::ceil(5e-3 * cells * 360.0 / 1.6));
    const auto exact = test::starting_header(cells, 32 * most);
    for (const int factor : {1, 2, 4, 8}) {
        const auto p = test::starting_header(cells, factor * most);
        double sum = 0.0;
        double drop = 0.0;
        for (std::size_t i = 0; i < p.size(); ++i) {
            sum += std::pow(p[i] - exact[i], 2);
            drop += std::pow(exact[i] - 1e5, 2);
        }
        s["rows"].push_back({1.6 / factor, std::sqrt(sum / drop)});
    }
    return s;
}

PointResult solve_with(const Case& c, const std::string& point, double refinement, double courant) {
    Model model = c.model;
    model.refinement = refinement;
    model.courant = courant;
    const auto result = solve_point(c.intake, c.engine, test::point_of(c, point), model, {});
    if (!result.converged) {
        throw std::runtime_error(point + ": " + result.failure);
    }
    return result;
}

double largest_move(const PointResult& a, const PointResult& b) {
    double largest = 0.0;
    for (std::size_t i = 0; i < a.cylinders.size(); ++i) {
        largest = std::max(largest, std::abs(a.cylinders[i].bias - b.cylinders[i].bias));
    }
    return largest;
}

/// Bias and total air of one engine point, refined in cells and in step.
void engine(json& all, const std::string& file, const std::string& point) {
    const Case c = test::shipped(file);
    const std::string name = c.title + ", " + point;
    for (const bool cells : {true, false}) {
        const std::string refined = cells ? "cells" : "step";
        json bias = series(name, "largest error of a bias", refined);
        json air = series(name, "air of all cylinders", refined);
        const double courant = c.model.courant;
        const auto exact =
            cells ? solve_with(c, point, 12.0, courant) : solve_with(c, point, 1.0, courant / 32.0);
        for (const double factor : {1.0, 2.0, 3.0, 4.0, 6.0, 8.0}) {
            if ((cells && factor == 8.0) || (!cells && (factor == 3.0 || factor == 6.0))) {
                continue;
            }
            const auto r = cells ? solve_with(c, point, factor, courant)
                                 : solve_with(c, point, 1.0, courant / factor);
            const double size = cells ? factor : courant / factor;
            bias["rows"].push_back({size, largest_move(r, exact)});
            air["rows"].push_back({size, std::abs(r.air_flow / exact.air_flow - 1.0)});
        }
        all.push_back(bias);
        all.push_back(air);
    }
}

}  // namespace

int main() {
    json all = json::array({pulse_cells(), pulse_steps(), manifold_cells(), manifold_steps()});
    engine(all, test::hill_climb, "A4");
    engine(all, test::marine_log, "B4");
    engine(all, test::v6_bank, "C3");
    std::cout << all.dump(1) << '\n';
    return 0;
}
