#include "solver/network/network_builder.hpp"

#include "solver/arithmetic/real.hpp"
#include "solver/laws/mouth.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

const double right_angle = geometry::Runner().angle;

}  // namespace

void NetworkBuilder::add_runner(
    const geometry::Runner& runner, int plenum, const BenchParts* parts, int number, int cylinder) {
    const auto count = static_cast<int>(runner_cells(runner, n_.model));
    const int index = add_chain("runner " + std::to_string(cylinder + 1),
                                runner.length,
                                count,
                                runner.area(),
                                std::nullopt);
    set_walls(index, runner.roughness, runner.wall_temperature, runner.bend_loss);
    Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    if (runner.port_wall_temperature && n_.model.wall_heat && chain.has_heat) {
        // The cell in which the port begins takes its part of it: a border that jumped from cell to
        // cell would move the air with the cells.
        const double before = (runner.length - runner.port_length) / chain.dx;
        for (int i = 0; i < chain.count; ++i) {
            double& wall = n_.wall_rt[static_cast<std::size_t>(chain.first + i)];
            const double port = n_.gas.gas_constant * *runner.port_wall_temperature;
            wall += std::clamp(i + 1 - before, 0.0, 1.0) * (port - wall);
        }
    }
    Mouth mouth;
    mouth.chain = index;
    mouth.area = runner.mouth_area();
    const double diameter = runner.mouth_diameter();
    mouth.entry_loss = runner.entry_loss     ? *runner.entry_loss
                       : n_.model.entry_loss ? *n_.model.entry_loss
                                             : laws::mouth_loss(runner.bell_radius / diameter);
    if (plenum >= 0) {
        mouth.plenum = footprint(plenum, runner.x - 0.5 * diameter, runner.x + 0.5 * diameter);
        mouth.area_ratio = mouth.area / mouth.plenum.area;
        mouth.corner = runner.bell_radius / equal_diameter(mouth.plenum.area);
        if (runner.angle != right_angle) {
            n_.slanted = true;
            mouth.along = arithmetic::cos(runner.angle);
            mouth.half_cotangent =
                arithmetic::cos(0.5 * runner.angle) / arithmetic::sin(0.5 * runner.angle);
        }
        chain.start = EndKind::mouth;
        n_.mouths.push_back(mouth);
    } else {
        chain.start = EndKind::open;
    }
    chain.runner = true;
    if (parts != nullptr && parts->set_up == BenchSetUp::valve) {
        // Towards the cylinder the valve and an exit are one law: an ideal opening, here of the
        // valve's effective area, driven by the total pressure before it.
        const double area = n_.face_area[static_cast<std::size_t>(chain.first + chain.count)];
        const double closed = std::max(area / parts->valve_area, 1.0);
        chain.end = EndKind::exit;
        chain.exit_loss = closed * closed;
        if (parts->head == BenchHead::runner) {
            chain.open_loss = mouth.entry_loss;
        }
    } else if (parts != nullptr) {
        chain.end = EndKind::exit;
        chain.exit_loss = runner.exit_loss.value_or(1.0);
        chain.exit_pressure = runner.exit_pressure;
        chain.closed_exit = parts->set_up == BenchSetUp::runners && parts->open_runner != number;
    } else {
        chain.end = EndKind::valve;
        chain.cylinder = cylinder;
        n_.valves.push_back({index, cylinder});
    }
}

}  // namespace plenair
