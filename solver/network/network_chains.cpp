#include "geometry/contract.hpp"
#include "solver/network/network_builder.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

constexpr int ghost_cells = 2;

}  // namespace

int NetworkBuilder::add_chain(const std::string& name,
                              double length,
                              int count,
                              const geometry::Profile& area,
                              const std::optional<double>& perimeter) {
    PLENAIR_EXPECT(length > 0.0 && count > 0 && area.smallest() > 0.0);
    Chain chain;
    chain.name = name;
    chain.bank = bank_;
    chain.count = count;
    chain.dx = length / count;
    chain.first = static_cast<int>(n_.volume.size()) + ghost_cells;
    const auto pad = [&](double at, double below) {
        for (int g = 0; g < ghost_cells; ++g) {
            n_.volume.push_back(0.0);
            n_.inverse_volume.push_back(0.0);
            n_.area.push_back(area.at(at));
            n_.inverse_diameter.push_back(1.0 / equal_diameter(area.at(at)));
            n_.wall_rt.push_back(0.0);
            n_.bend.push_back(0.0);
            n_.face_area.push_back(area.at(below));
        }
    };
    pad(0.0, 0.0);
    for (int i = 0; i < count; ++i) {
        const double from = i * chain.dx;
        const double to = from + chain.dx;
        const double volume = area.integral(from, to);
        const double mean = volume / chain.dx;
        n_.volume.push_back(volume);
        n_.inverse_volume.push_back(1.0 / volume);
        n_.area.push_back(mean);
        n_.inverse_diameter.push_back(perimeter ? *perimeter / (4.0 * mean)
                                                : 1.0 / equal_diameter(mean));
        n_.wall_rt.push_back(0.0);
        n_.bend.push_back(0.0);
        n_.face_area.push_back(area.at(from));
    }
    pad(length, length);
    // face_area[f] belongs to the left of cell f; the right face of the last cell is the first
    // pad's left face.
    n_.chains.push_back(chain);
    return static_cast<int>(n_.chains.size()) - 1;
}

void NetworkBuilder::set_walls(int index,
                               const std::optional<double>& roughness,
                               const std::optional<double>& wall_temperature,
                               double bend_loss) {
    Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    const Model& model = n_.model;
    const double mean_diameter =
        1.0 / n_.inverse_diameter[static_cast<std::size_t>(chain.first + chain.count / 2)];
    const double wall = model.friction == Friction::smooth ? 0.0
                        : roughness                        ? *roughness
                                                           : model.roughness;
    if (model.friction == Friction::darcy) {
        chain.has_friction = chain.friction_factor = true;
        chain.darcy = model.darcy;
    } else if (model.friction != Friction::off || wall_temperature) {
        chain.has_friction = chain.friction_factor = model.friction != Friction::off;
        chain.friction = add_friction(wall / mean_diameter);
    }
    for (int i = chain.first; i < chain.first + chain.count; ++i) {
        const auto c = static_cast<std::size_t>(i);
        if (bend_loss > 0.0) {
            n_.bend[c] = bend_loss / (chain.dx * chain.count);
            chain.has_friction = true;
        }
        if (wall_temperature && model.wall_heat) {
            n_.wall_rt[c] = n_.gas.gas_constant * *wall_temperature;
            chain.has_heat = true;
        }
    }
}

/// Parts of equal roughness over bore share a fit.
int NetworkBuilder::add_friction(double relative_roughness) {
    const auto same = [&](const std::vector<laws::FrictionFit>& fits) {
        return std::find_if(fits.begin(), fits.end(), [&](const laws::FrictionFit& fit) {
            return fit.roughness == relative_roughness;
        });
    };
    const auto own = same(n_.frictions);
    if (own != n_.frictions.end()) {
        return static_cast<int>(own - n_.frictions.begin());
    }
    if (like_ != nullptr && same(like_->frictions) != like_->frictions.end()) {
        n_.frictions.push_back(*same(like_->frictions));
    } else {
        n_.frictions.emplace_back(relative_roughness);
    }
    return static_cast<int>(n_.frictions.size()) - 1;
}

/// A hole narrower than two cells acts on two cells' length about its centre: a point sink would
/// make the flows of its neighbours zigzag with where it happens to sit.
Footprint NetworkBuilder::hole_footprint(int index, double x, double length) const {
    if (index < 0) {
        return {};
    }
    const double half = 0.5 * std::max(length, 2.0 * n_.chains[static_cast<std::size_t>(index)].dx);
    return footprint(index, x - half, x + half);
}

Footprint NetworkBuilder::footprint(int index, double from, double to) const {
    if (index < 0) {
        return {};
    }
    const Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    const double length = chain.dx * chain.count;
    from = std::max(from, 0.0);
    to = std::min(to, length);
    PLENAIR_EXPECT(from < to);
    const int first = std::min(static_cast<int>(from / chain.dx), chain.count - 1);
    const int last = std::min(static_cast<int>(to / chain.dx - 1e-9), chain.count - 1);
    Footprint f;
    f.first = chain.first + first;
    for (int i = first; i <= last; ++i) {
        const double overlap = std::min(to, (i + 1) * chain.dx) - std::max(from, i * chain.dx);
        const double weight = std::max(overlap, 0.0) / (to - from);
        f.weight.push_back(weight);
        f.area += weight * n_.area[static_cast<std::size_t>(chain.first + i)];
    }
    return f;
}

}  // namespace plenair
