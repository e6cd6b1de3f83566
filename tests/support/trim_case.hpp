#pragma once

#include "cases/study/trim.hpp"
#include "geometry/quantity.hpp"
#include "tests/support/engine.hpp"

#include <string>
#include <vector>

namespace plenair::test {

/// A solved case made by hand: the points of the case with biases and air flow that are given. The
/// cylinders stand in firing order, as a result need not list them by number.
struct HandSolved {
    Case c;
    SolveResult solved;

    explicit HandSolved(Case from) : c(std::move(from)) {
        solved.title = c.title;
        solved.case_digest = c.digest;
        solved.case_text = c.text;
    }

    /// @param biases_percent  by cylinder number
    void add(const std::string& name, double air_g_s, const std::vector<double>& biases_percent) {
        const OperatingPoint& asked = point_of(c, name);
        PointResult point;
        point.name = name;
        point.speed = asked.speed;
        point.source_pressure = asked.pressure;
        point.source_temperature = asked.temperature;
        point.converged = true;
        point.air_flow = geometry::from_unit(air_g_s, "g/s");
        const auto& order = c.engine.firing_order;
        for (std::size_t i = 0; i < order.size(); ++i) {
            CylinderResult cylinder;
            cylinder.cylinder = order[i];
            cylinder.firing_position = static_cast<int>(i) + 1;
            cylinder.bias = biases_percent.at(static_cast<std::size_t>(order[i] - 1)) / 100;
            cylinder.share = (1 + cylinder.bias) / static_cast<double>(order.size());
            point.cylinders.push_back(cylinder);
        }
        solved.points.push_back(point);
    }
};

/// Air shares of an inline six at its torque peak [%], by cylinder number.
inline const std::vector<double> six_at_torque{2.25, 3.43, 3.40, -1.37, -7.13, -0.58};

}  // namespace plenair::test
