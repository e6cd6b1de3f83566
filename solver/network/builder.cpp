#include "solver/network/builder.hpp"

#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/gas/mixture.hpp"
#include "solver/gas/transport.hpp"
#include "solver/network/cell_loops.hpp"
#include "solver/network/network_builder.hpp"
#include "solver/network/network_complete.hpp"

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

/// Air enters a chamber at its end wall x = length.
bool fed_at_far_end(const geometry::Bank& bank, bool pre_chamber, const geometry::Chamber& c) {
    return c.open_end || std::any_of(bank.throttles.begin(),
                                     bank.throttles.end(),
                                     [&](const geometry::Throttle& throttle) {
                                         const bool pre =
                                             bank.pre_chamber &&
                                             throttle.feeds == geometry::FeedTarget::pre_chamber;
                                         return pre == pre_chamber &&
                                                throttle.position == geometry::FeedPosition::end;
                                     });
}

}  // namespace

void NetworkBuilder::set_gas(
    double pressure, double temperature, double gas_constant, double gamma, double dry_air) {
    n_.gas.gas_constant = gas_constant;
    n_.gas.gamma = gamma;
    n_.gas.dry_air = dry_air;
    n_.gas.viscosity = gas::viscosity(temperature);
    const double step = 1.0;
    n_.gas.viscosity_slope =
        (gas::viscosity(temperature + step) - gas::viscosity(temperature - step)) / (2.0 * step) *
        temperature / n_.gas.viscosity;
    n_.source = {pressure, gas_constant * temperature, 1.0};
    n_.room = n_.source;
    if (like_ != nullptr && like_->gas.gamma == gamma) {
        n_.orifice = like_->orifice;
        n_.duct = like_->duct;
        n_.expansion = like_->expansion;
        return;
    }
    n_.orifice = laws::OrificeFunction(gamma);
    n_.duct = laws::DuctFlow(gamma);
    const double k = (gamma - 1.0) / gamma;
    n_.expansion = arithmetic::fit_chebyshev<10>(
        [k](double x) { return (1.0 - arithmetic::pow(1.0 - x, k)) / x; }, 0.0, 0.9);
}

void NetworkBuilder::add_bank(const geometry::Bank& bank,
                              std::optional<double> throttle_angle,
                              const BenchParts* parts) {
    bank_ = static_cast<int>(&bank - intake_.banks.data());
    const std::string& name = n_.banks[static_cast<std::size_t>(bank_)];
    const bool slot_only = parts != nullptr && parts->set_up == BenchSetUp::slot;
    // A slot insert on the bench stands in still air unless its header is fed: through an open end,
    // or, of a rig that has no plenum, through a throttle in its side.
    const auto at_side = [](const geometry::Throttle& throttle) {
        return throttle.position == geometry::FeedPosition::side;
    };
    const bool fed_at_side =
        !bank.plenum && std::any_of(bank.throttles.begin(), bank.throttles.end(), at_side);
    const bool insert_alone =
        slot_only && !(bank.pre_chamber &&
                       (bank.pre_chamber->open_start || bank.pre_chamber->open_end || fed_at_side));
    int pre = -1;
    int plenum = -1;
    const auto chamber = [&](const geometry::Chamber& c, geometry::ChamberKind kind) {
        const auto count = static_cast<int>(chamber_cells(bank, c.length, n_.model));
        const int index =
            add_chain(geometry::chamber_name(name, kind), c.length, count, c.area, c.perimeter);
        Chain& chain = n_.chains[static_cast<std::size_t>(index)];
        chain.plenum = kind == geometry::ChamberKind::plenum;
        chain.start = c.open_start ? EndKind::open : EndKind::wall;
        chain.end = c.open_end ? EndKind::open : EndKind::wall;
        if (c.outlet_loss) {
            const bool at_start =
                fed_at_far_end(bank, kind == geometry::ChamberKind::pre_chamber, c);
            (at_start ? chain.start : chain.end) = EndKind::exit;
            chain.exit_loss = *c.outlet_loss;
        }
        set_walls(index, c.roughness, c.wall_temperature, 0.0);
        return index;
    };
    if (bank.pre_chamber && !insert_alone) {
        pre = chamber(*bank.pre_chamber, geometry::ChamberKind::pre_chamber);
    }
    if (bank.plenum && !slot_only) {
        plenum = chamber(*bank.plenum, geometry::ChamberKind::plenum);
    }
    if (!insert_alone) {
        add_throttles(bank, pre, plenum, throttle_angle);
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

void NetworkBuilder::set_engine(const geometry::Engine& engine,
                                const OperatingPoint& point,
                                const gas::Mixture& charge) {
    if (n_.valves.empty()) {
        throw InputError({"runner: an engine needs a runner for each cylinder"});
    }
    n_.layout.cylinders = engine.cylinder_count();
    const Combustion& burn = point.combustion;
    const gas::Fuel fuel{burn.hydrogen_carbon, burn.oxygen_carbon};
    const gas::Mixture products = gas::burned_products(fuel, charge);
    CylinderModel& c = n_.cylinder;
    c.gas = like_ != nullptr ? like_->cylinder.gas : gas::CylinderGas(charge, products);
    const double cp_t = n_.gas.gamma / (n_.gas.gamma - 1.0) * n_.source.rt;
    c.offset_fresh = cp_t - c.gas.enthalpy(point.temperature, 1.0);
    c.offset_burned = cp_t - c.gas.enthalpy(point.temperature, 0.0);
    c.heat_per_air = burn.motored ? 0.0 : burn.heating_value / burn.stoich * n_.gas.dry_air;
    constexpr double motored_lag = 0.12;  // the motored reference follows within 7 degrees [rad]
    c.relax = point.speed / motored_lag;
    c.wall_heat = burn.wall_heat;
    c.wall_temperature = burn.wall_temperature;
    c.woschni = 3.26 * arithmetic::pow(engine.bore, -0.2);
    c.displacement = engine.swept_volume();
    const double exhaust_gamma = products.gamma(point.exhaust_temperature);
    c.exhaust_delay = engine.exhaust_port / std::sqrt(exhaust_gamma * products.gas_constant() *
                                                      point.exhaust_temperature);
    n_.exhaust_orifice = like_ != nullptr && like_->exhaust_orifice.gamma == exhaust_gamma
                             ? like_->exhaust_orifice
                             : laws::OrificeFunction(exhaust_gamma);
    c.exhaust_varies = !point.exhaust_tables.empty();
    n_.exhaust = {point.exhaust_pressure, products.gas_constant() * point.exhaust_temperature, 0.0};
    n_.exhaust_enthalpy = c.gas.enthalpy(point.exhaust_temperature, 0.0) + c.offset_burned;
}

Network NetworkBuilder::finish() {
    n_.face_area.push_back(n_.face_area.empty() ? 0.0 : n_.face_area.back());
    Layout& at = n_.layout;
    at.cells = static_cast<int>(n_.volume.size());
    for (auto* v : {&n_.volume, &n_.inverse_diameter, &n_.bend, &n_.wall_rt}) {
        v->resize(v->size() + static_cast<std::size_t>(widest_pack),
                  v == &n_.inverse_diameter ? 1.0 : 0.0);
    }
    at.jets = any_jet_ ? at.cells : 0;
    at.passages = static_cast<int>(n_.passages.size());
    at.valves = static_cast<int>(n_.valves.size());
    expect_complete(n_);
    return std::move(n_);
}

Network build_engine(const geometry::Intake& intake,
                     const geometry::Engine& engine,
                     const OperatingPoint& point,
                     const Model& model,
                     const Network* like) {
    NetworkBuilder builder(intake, model, like);
    const gas::Mixture charge = gas::humid_air(point.humidity_ratio);
    builder.set_gas(point.pressure,
                    point.temperature,
                    charge.gas_constant(),
                    charge.gamma(point.temperature),
                    1.0 / (1.0 + point.humidity_ratio));
    for (const auto& bank : intake.banks) {
        builder.add_bank(bank, point.throttle_angle, nullptr);
    }
    builder.set_engine(engine, point, charge);
    return builder.finish();
}

Network build_bench(const geometry::Intake& intake,
                    const BenchSettings& bench,
                    const Model& model,
                    const BenchParts& parts) {
    NetworkBuilder builder(intake, model, nullptr);
    const gas::Mixture air = gas::dry_air();
    builder.set_gas(bench.pressure,
                    bench.temperature,
                    bench.gas_constant.value_or(air.gas_constant()),
                    bench.gamma.value_or(air.gamma(bench.temperature)),
                    1.0);
    Network& n = builder.network();
    n.source.pressure = bench.side_pressure(false);
    n.room.pressure = bench.side_pressure(true);
    for (const auto& bank : intake.banks) {
        builder.add_bank(bank, bench.throttle_angle, &parts);
    }
    return builder.finish();
}

}  // namespace plenair
