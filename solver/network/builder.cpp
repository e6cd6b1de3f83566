#include "solver/network/builder.hpp"

#include "geometry/error.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/gas/mixture.hpp"
#include "solver/gas/transport.hpp"
#include "solver/laws/mouth.hpp"
#include "solver/network/passage_damping.hpp"
#include "solver/network/sweeps.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int ghost_cells = 2;
constexpr double runner_cell = 0.033;  // certified: 25-50 mm
constexpr int header_cells = 100;  // chamber without runners: slot headers against closed forms

double equal_diameter(double area) {
    return std::sqrt(4.0 * area / pi);
}

/// Collects chains, passages and mouths; then lays out the state.
class Builder final {
public:
    Builder(const geometry::Intake& intake, const Model& model, const Network* like)
        : intake_(intake), like_(like) {
        n_.model = model;
    }

    /// Gas, tables and reservoirs of a network of the same point.
    void take_gas(const Network& like) {
        n_.gas = like.gas;
        n_.source = like.source;
        n_.room = like.room;
        n_.orifice = like.orifice;
        n_.expansion = like.expansion;
    }

    void set_gas(
        double pressure, double temperature, double gas_constant, double gamma, double dry_air) {
        n_.gas.gas_constant = gas_constant;
        n_.gas.gamma = gamma;
        n_.gas.dry_air = dry_air;
        n_.gas.viscosity = gas::viscosity(temperature);
        const double step = 1.0;
        n_.gas.viscosity_slope =
            (gas::viscosity(temperature + step) - gas::viscosity(temperature - step)) /
            (2.0 * step) * temperature / n_.gas.viscosity;
        n_.source = {pressure, gas_constant * temperature, 1.0};
        n_.room = n_.source;
        n_.orifice = laws::OrificeFunction(gamma);
        const double k = (gamma - 1.0) / gamma;
        n_.expansion = arithmetic::fit_chebyshev<10>(
            [k](double x) { return (1.0 - arithmetic::pow(1.0 - x, k)) / x; }, 0.0, 0.9);
    }

    void add_bank(const geometry::Bank& bank, const OperatingPoint* point, const BenchParts* parts);
    Network finish();
    Network& network() { return n_; }

private:
    int add_chain(const std::string& name,
                  double length,
                  int count,
                  const geometry::Profile& area,
                  const std::optional<double>& perimeter);
    void set_walls(int chain,
                   const std::optional<double>& roughness,
                   const std::optional<double>& wall_temperature,
                   double bend_loss);
    int cell_count(const geometry::Bank& bank, double length) const;
    void add_throttles(const geometry::Bank& bank,
                       int pre,
                       int plenum,
                       const OperatingPoint* point);
    void add_jet(int chain, bool at_start, double cd_a);
    void add_slot(const geometry::Bank& bank, int pre, int plenum);
    void add_slot_cells(const geometry::Slot& slot,
                        const geometry::SlotPiece& piece,
                        int pre,
                        int plenum);
    void add_runner(const geometry::Runner& runner,
                    int plenum,
                    const BenchParts* parts,
                    int number,
                    int cylinder);
    int add_discharge(const geometry::Slot& slot, double dh, double edge, laws::ThinLimit limit);
    Footprint footprint(int chain, double from, double to) const;
    Footprint hole_footprint(int chain, double x, double length) const;

    int add_friction(double relative_roughness);

    const geometry::Intake& intake_;
    const Network* like_;
    Network n_;
    int runners_ = 0;
    bool any_jet_ = false;
};

int Builder::cell_count(const geometry::Bank& bank, double length) const {
    double cell = length / header_cells;
    if (!bank.runners.empty() && bank.plenum) {
        double bore = bank.runners.front().mouth_diameter();
        for (const auto& runner : bank.runners) {
            bore = std::min(bore, runner.mouth_diameter());
        }
        cell = std::max(0.5 * bore, 0.008);
    }
    cell /= n_.model.refinement;
    if (n_.model.largest_cell) {
        cell = *n_.model.largest_cell;
    }
    return std::max(6, static_cast<int>(std::ceil(length / cell - 1e-9)));
}

int Builder::add_chain(const std::string& name,
                       double length,
                       int count,
                       const geometry::Profile& area,
                       const std::optional<double>& perimeter) {
    Chain chain;
    chain.name = name;
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

void Builder::set_walls(int index,
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
int Builder::add_friction(double relative_roughness) {
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
Footprint Builder::hole_footprint(int index, double x, double length) const {
    if (index < 0) {
        return {};
    }
    const double half = 0.5 * std::max(length, 2.0 * n_.chains[static_cast<std::size_t>(index)].dx);
    return footprint(index, x - half, x + half);
}

Footprint Builder::footprint(int index, double from, double to) const {
    if (index < 0) {
        return {};
    }
    const Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    const double length = chain.dx * chain.count;
    from = std::max(from, 0.0);
    to = std::min(to, length);
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

void Builder::add_jet(int index, bool at_start, double cd_a) {
    Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    (at_start ? chain.start_effective_area : chain.end_effective_area) = cd_a;
    (at_start ? chain.start : chain.end) = EndKind::throttle;
    const auto face = static_cast<std::size_t>(at_start ? chain.first : chain.first + chain.count);
    const double duct = n_.face_area[face];
    const double step = 0.5 * (equal_diameter(duct) - equal_diameter(cd_a));
    if (!n_.model.jet || step <= 1e-6) {
        return;
    }
    const double mixing = n_.model.mixing_length * step;
    chain.jet = true;
    chain.jet_decay = arithmetic::exp(-chain.dx / mixing);
    // Beyond two the rate would limit the step for nothing: the jet is gone within the cell.
    chain.jet_rate = std::min(chain.dx / mixing / (1.0 - chain.jet_decay), 2.0);
    any_jet_ = true;
}

void Builder::add_throttles(const geometry::Bank& bank,
                            int pre,
                            int plenum,
                            const OperatingPoint* point) {
    for (const auto& throttle : bank.throttles) {
        const int index =
            throttle.feeds == geometry::FeedTarget::pre_chamber && pre >= 0 ? pre : plenum;
        const double cd_a =
            throttle.effective_area(point != nullptr ? point->throttle_angle : std::nullopt);
        if (throttle.position == geometry::FeedPosition::start) {
            add_jet(index, true, cd_a);
        } else if (throttle.position == geometry::FeedPosition::end) {
            add_jet(index, false, cd_a);
        } else {
            Passage p;
            p.from_room = n_.source;
            p.to = hole_footprint(index, throttle.x, throttle.bore);
            p.area = cd_a;
            // Air column of a hole in a wall: 0.85 radius on both sides (piston in a baffle).
            p.inertance = 2.0 * 0.85 * 0.5 * equal_diameter(cd_a) / cd_a;
            p.x = throttle.x;
            p.length = throttle.bore;
            p.source = true;
            p.hydraulic_diameter = equal_diameter(cd_a);
            n_.discharges.push_back(laws::SlotDischarge::measured(1.0, false));
            p.discharge = p.discharge_reverse = static_cast<int>(n_.discharges.size()) - 1;
            n_.passages.push_back(p);
        }
    }
}

int Builder::add_discharge(const geometry::Slot& slot,
                           double dh,
                           double edge,
                           laws::ThinLimit limit) {
    constexpr double reference_reynolds = 5.0e4;
    const Model& model = n_.model;
    if (slot.cd) {
        n_.discharges.push_back(laws::SlotDischarge::measured(*slot.cd, false));
    } else if (model.slot_edge == SlotEdge::sharp_exact) {
        n_.discharges.push_back(
            laws::SlotDischarge::sharp_exact(n_.gas.gamma, model.slot_compressibility));
    } else {
        n_.discharges.push_back(laws::SlotDischarge::correlation(
            slot.land / dh, edge / dh, reference_reynolds, limit, model.slot_compressibility));
    }
    return static_cast<int>(n_.discharges.size()) - 1;
}

void Builder::add_slot_cells(const geometry::Slot& slot,
                             const geometry::SlotPiece& piece,
                             int pre,
                             int plenum) {
    // Stations where a cell of either chamber or the piece itself begins or ends.
    std::vector<double> cuts{piece.x, piece.x + piece.length};
    for (const int index : {pre, plenum}) {
        if (index < 0) {
            continue;
        }
        const Chain& chain = n_.chains[static_cast<std::size_t>(index)];
        for (int i = 1; i < chain.count; ++i) {
            const double x = i * chain.dx;
            if (x > piece.x + 1e-9 && x < piece.x + piece.length - 1e-9) {
                cuts.push_back(x);
            }
        }
    }
    if (pre < 0 && plenum < 0) {
        for (int i = 1; i < header_cells; ++i) {
            cuts.push_back(piece.x + piece.length * i / header_cells);
        }
    }
    std::sort(cuts.begin(), cuts.end());
    double last_width = -1.0;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
        const double from = cuts[i];
        const double to = cuts[i + 1];
        if (to - from < 1e-9) {
            continue;
        }
        const double width = piece.width.mean(from, to);
        const double dh = 2.0 * width;
        Passage p;
        p.slot = true;
        p.from = footprint(pre, from, to);
        p.to = footprint(plenum, from, to);
        p.from_room = n_.source;
        p.to_room = n_.room;
        p.area = width * (to - from);
        p.x = 0.5 * (from + to);
        p.length = to - from;
        p.hydraulic_diameter = dh;
        // Slit between two chambers: land and, on each side, (w/pi)(1 + ln(2H/(pi w))) with the
        // chamber's diameter H (two-dimensional end correction, Morse and Ingard 1968, from
        // memory).
        double length = slot.land;
        for (const int index : {pre, plenum}) {
            const double height =
                index < 0 ? 10.0 * width : equal_diameter(footprint(index, from, to).area);
            length +=
                width / pi * (1.0 + arithmetic::log(std::max(2.0 * height / (pi * width), 1.0)));
        }
        p.inertance = length / p.area;
        if (std::abs(width - last_width) > 1e-12) {
            add_discharge(slot, dh, slot.edge_radius, laws::ThinLimit::slit);
            add_discharge(slot, dh, slot.outlet_edge, laws::ThinLimit::slit);
            last_width = width;
        }
        p.discharge = static_cast<int>(n_.discharges.size()) - 2;
        p.discharge_reverse = p.discharge + 1;
        n_.passages.push_back(p);
    }
}

void Builder::add_slot(const geometry::Bank& bank, int pre, int plenum) {
    const geometry::Slot& slot = *bank.slot;
    for (const auto& piece : slot.pieces) {
        add_slot_cells(slot, piece, pre, plenum);
    }
    for (const auto& hole : slot.holes) {
        Passage p;
        p.slot = true;
        p.upstream_static = true;
        p.from = hole_footprint(pre, hole.x, hole.length);
        p.to = hole_footprint(plenum, hole.x, hole.length);
        p.from_room = n_.source;
        p.to_room = n_.room;
        p.area = hole.area;
        p.x = hole.x;
        p.length = hole.length;
        p.hydraulic_diameter = hole.hydraulic_diameter;
        p.inertance = (slot.land + 2.0 * 0.85 * 0.5 * equal_diameter(hole.area)) / hole.area;
        p.discharge = add_discharge(
            slot, hole.hydraulic_diameter, slot.edge_radius, laws::ThinLimit::round_hole);
        p.discharge_reverse = add_discharge(
            slot, hole.hydraulic_diameter, slot.outlet_edge, laws::ThinLimit::round_hole);
        n_.passages.push_back(p);
    }
}

void Builder::add_runner(
    const geometry::Runner& runner, int plenum, const BenchParts* parts, int number, int cylinder) {
    const double cell =
        n_.model.largest_cell ? *n_.model.largest_cell : runner_cell / n_.model.refinement;
    const int count = std::max(6, static_cast<int>(std::lround(runner.length / cell)));
    const int index = add_chain(
        "runner " + std::to_string(number + 1), runner.length, count, runner.area(), std::nullopt);
    set_walls(index, runner.roughness, runner.wall_temperature, runner.bend_loss);
    Chain& chain = n_.chains[static_cast<std::size_t>(index)];
    if (runner.port_wall_temperature && n_.model.wall_heat && chain.has_heat) {
        for (int i = 0; i < chain.count; ++i) {
            if ((i + 0.5) * chain.dx > runner.length - runner.port_length) {
                n_.wall_rt[static_cast<std::size_t>(chain.first + i)] =
                    n_.gas.gas_constant * *runner.port_wall_temperature;
            }
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
        chain.start = EndKind::mouth;
        n_.mouths.push_back(mouth);
    } else {
        chain.start = EndKind::open;
    }
    if (parts != nullptr) {
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

void Builder::add_bank(const geometry::Bank& bank,
                       const OperatingPoint* point,
                       const BenchParts* parts) {
    const std::string prefix = intake_.banks.size() > 1 ? bank.name + " " : "";
    const bool slot_only = parts != nullptr && parts->set_up == BenchSetUp::slot;
    // A slot insert on the bench stands in still air unless its header is fed through an open end.
    const bool insert_alone =
        slot_only &&
        !(bank.pre_chamber && (bank.pre_chamber->open_start || bank.pre_chamber->open_end));
    int pre = -1;
    int plenum = -1;
    const auto chamber = [&](const geometry::Chamber& c, const std::string& name) {
        const int index =
            add_chain(prefix + name, c.length, cell_count(bank, c.length), c.area, c.perimeter);
        Chain& chain = n_.chains[static_cast<std::size_t>(index)];
        chain.start = c.open_start ? EndKind::open : EndKind::wall;
        chain.end = c.open_end ? EndKind::open : EndKind::wall;
        set_walls(index, c.roughness, c.wall_temperature, 0.0);
        return index;
    };
    if (bank.pre_chamber && !insert_alone) {
        pre = chamber(*bank.pre_chamber, "pre-chamber");
    }
    if (bank.plenum && !slot_only) {
        plenum = chamber(*bank.plenum, "plenum");
    }
    if (!insert_alone) {
        add_throttles(bank, pre, plenum, point);
    }
    if (bank.slot) {
        add_slot(bank, pre, plenum);
    }
    if (slot_only) {
        return;
    }
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        const int cylinder = i < bank.cylinders.size() ? bank.cylinders[i] - 1 : runners_;
        add_runner(bank.runners[i], plenum, parts, runners_, cylinder);
        ++runners_;
    }
}

Network Builder::finish() {
    n_.face_area.push_back(n_.face_area.empty() ? 0.0 : n_.face_area.back());
    Layout& at = n_.layout;
    at.cells = static_cast<int>(n_.volume.size());
    for (auto* v : {&n_.volume, &n_.inverse_diameter, &n_.bend, &n_.wall_rt}) {
        v->resize(v->size() + static_cast<std::size_t>(widest_sweep),
                  v == &n_.inverse_diameter ? 1.0 : 0.0);
    }
    at.jets = any_jet_ ? at.cells : 0;
    at.passages = static_cast<int>(n_.passages.size());
    at.valves = static_cast<int>(n_.valves.size());
    return std::move(n_);
}

}  // namespace

Network build_engine(const geometry::Intake& intake,
                     const geometry::Engine& engine,
                     const OperatingPoint& point,
                     const Model& model,
                     const Network* like) {
    Builder builder(intake, model, like);
    const gas::Mixture charge = gas::humid_air(point.humidity_ratio);
    if (like != nullptr) {
        builder.take_gas(*like);
    } else {
        builder.set_gas(point.pressure,
                        point.temperature,
                        charge.gas_constant(),
                        charge.gamma(point.temperature),
                        1.0 / (1.0 + point.humidity_ratio));
    }
    for (const auto& bank : intake.banks) {
        builder.add_bank(bank, &point, nullptr);
    }
    builder.network().layout.cylinders = engine.cylinder_count();
    Network n = builder.finish();
    if (n.valves.empty()) {
        throw InputError({"runner: an engine needs a runner for each cylinder"});
    }
    if (like != nullptr) {
        n.cylinder = like->cylinder;
        n.exhaust_orifice = like->exhaust_orifice;
        n.exhaust = like->exhaust;
        n.exhaust_enthalpy = like->exhaust_enthalpy;
        return n;
    }
    const Combustion& burn = point.combustion;
    const gas::Fuel fuel{burn.hydrogen_carbon, burn.oxygen_carbon};
    const gas::Mixture products = gas::burned_products(fuel, charge);
    CylinderModel& c = n.cylinder;
    c.gas = gas::CylinderGas(charge, products);
    const double cp_t = n.gas.gamma / (n.gas.gamma - 1.0) * n.source.rt;
    c.offset_fresh = cp_t - c.gas.enthalpy(point.temperature, 1.0);
    c.offset_burned = cp_t - c.gas.enthalpy(point.temperature, 0.0);
    c.heat_per_air = burn.motored ? 0.0 : burn.heating_value / burn.stoich * n.gas.dry_air;
    c.relax = point.speed / 0.12;  // follows within 7 degrees of crank angle
    c.wall_heat = burn.wall_heat;
    c.wall_temperature = burn.wall_temperature;
    c.woschni = 3.26 * arithmetic::pow(engine.bore, -0.2);
    c.displacement = engine.swept_volume();
    const double exhaust_gamma = products.gamma(point.exhaust_temperature);
    c.exhaust_delay = engine.exhaust_port / std::sqrt(exhaust_gamma * products.gas_constant() *
                                                      point.exhaust_temperature);
    n.exhaust_orifice = laws::OrificeFunction(exhaust_gamma);
    n.exhaust = {point.exhaust_pressure, products.gas_constant() * point.exhaust_temperature, 0.0};
    n.exhaust_enthalpy = c.gas.enthalpy(point.exhaust_temperature, 0.0) + c.offset_burned;
    return n;
}

Network build_bench(const geometry::Intake& intake,
                    const BenchSettings& bench,
                    const Model& model,
                    const BenchParts& parts) {
    Builder builder(intake, model, nullptr);
    const gas::Mixture air = gas::dry_air();
    builder.set_gas(bench.pressure,
                    bench.temperature,
                    bench.gas_constant.value_or(air.gas_constant()),
                    bench.gamma.value_or(air.gamma(bench.temperature)),
                    1.0);
    builder.network().room.pressure = bench.pressure - bench.depression;
    for (const auto& bank : intake.banks) {
        builder.add_bank(bank, nullptr, &parts);
    }
    return builder.finish();
}

double with_passages(const Network& n, double waves, double damping) {
    double acoustic = waves;
    double mode2 = 0.0;
    const double a2 = n.gas.gamma * n.source.rt;
    for (const Passage& p : n.passages) {
        double compliance = 0.0;
        for (const Footprint* f : {&p.from, &p.to}) {
            for (std::size_t j = 0; j < f->weight.size(); ++j) {
                compliance += f->weight[j] * f->weight[j] *
                              n.inverse_volume[static_cast<std::size_t>(f->first) + j];
            }
        }
        mode2 = std::max(mode2, a2 * compliance / p.inertance);
        if (n.chains.empty()) {
            // An insert between two rooms has no wave: its air column passes in the time sound
            // needs through it.
            acoustic = std::max(acoustic, std::sqrt(a2) / (p.inertance * p.area));
        }
    }
    const double wave = acoustic / n.model.courant;
    // The stepper is stable to 2.78 on the negative real axis and to 2.83 on the imaginary one; a
    // slot's own mode adds to a wave.
    return std::max(std::sqrt(wave * wave + mode2 / (2.5 * 2.5)), damping / 2.4);
}

double fastest_rate(const Network& n, const std::vector<double>& state) {
    const Layout& at = n.layout;
    const auto value = [&](int block, int i) { return state[static_cast<std::size_t>(block + i)]; };
    double acoustic = 0.0;
    for (const Chain& chain : n.chains) {
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double rho = value(at.rho(), i);
            const double u = value(at.rho_u(), i) / rho;
            const double rt = (n.gas.gamma - 1.0) * (value(at.rho_e(), i) / rho - 0.5 * u * u);
            acoustic = std::max(acoustic, (std::abs(u) + std::sqrt(n.gas.gamma * rt)) / chain.dx);
        }
    }
    return with_passages(n, acoustic, passage_damping(n, state));
}

}  // namespace plenair
