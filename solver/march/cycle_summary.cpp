#include "solver/march/cycle_summary.hpp"

#include "geometry/contract.hpp"
#include "geometry/places.hpp"
#include "solver/march/bank_losses.hpp"
#include "solver/march/not_an_engine.hpp"
#include "solver/march/openings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include "solver/arithmetic/real.hpp"

namespace plenair {

namespace {

/// Mean of `member` over the cylinders of these numbers.
double mean_of(const PointResult& result,
               const std::vector<int>& numbers,
               double CylinderResult::*member) {
    double sum = 0.0;
    for (const int number : numbers) {
        sum += result.cylinders[static_cast<std::size_t>(number - 1)].*member;
    }
    return sum / static_cast<double>(numbers.size());
}

BankResult bank_result(const geometry::Row& row, const std::string& name, PointResult& result) {
    BankResult bank;
    bank.name = name;
    bank.cylinders = row.cylinders;
    bank.first = row.first;
    bank.last = row.last;
    double trapped = 0.0;
    for (const auto& c : result.cylinders) {
        trapped += c.air_trapped;
    }
    const double cycle_time = 4.0 * std::numbers::pi / result.speed;
    const double mean = mean_of(result, bank.cylinders, &CylinderResult::air_trapped);
    const auto count = static_cast<double>(bank.cylinders.size());
    bank.air_flow =
        mean_of(result, bank.cylinders, &CylinderResult::air_delivered) * count / cycle_time;
    bank.share = mean * count / trapped;
    bank.bias = mean * static_cast<double>(result.cylinders.size()) / trapped - 1.0;
    double least = std::numeric_limits<double>::max();
    double most = std::numeric_limits<double>::lowest();
    for (const int number : bank.cylinders) {
        CylinderResult& c = result.cylinders[static_cast<std::size_t>(number - 1)];
        c.bank = static_cast<int>(result.banks.size());
        // Of one bank the same sum and the same bits as the bias among all.
        c.bank_bias = name.empty() ? c.bias : c.air_trapped / mean - 1.0;
        least = std::min(least, c.bank_bias);
        most = std::max(most, c.bank_bias);
    }
    // theory T40
    bank.spread = most - least;
    if (!bank.first.empty()) {
        bank.end_bias = mean_of(result, bank.last, &CylinderResult::bank_bias) -
                        mean_of(result, bank.first, &CylinderResult::bank_bias);
    }
    return bank;
}

}  // namespace

void fill_banks(const geometry::Intake& intake, PointResult& result) {
    result.banks.clear();
    result.end_bias = 0.0;
    for (std::size_t i = 0; i < intake.banks.size(); ++i) {
        const geometry::Row row = geometry::row_of(intake.banks[i]);
        if (row.cylinders.empty()) {
            continue;
        }
        result.banks.push_back(bank_result(row, geometry::bank_name(intake, i), result));
        if (intake.banks.size() == 1) {
            BankResult& only = result.banks.back();
            only.throttle_loss = result.throttle_loss;
            only.slot_loss = result.slot_loss;
            only.mouth_loss = result.mouth_loss;
            only.port_loss = result.port_loss;
            only.total_loss =
                only.throttle_loss + only.slot_loss + only.mouth_loss + only.port_loss;
        }
        const double end_bias = result.banks.back().end_bias;
        result.end_bias =
            std::abs(end_bias) > std::abs(result.end_bias) ? end_bias : result.end_bias;
    }
}

void fill_point(const OperatingPoint& point, PointResult& result) {
    result.name = point.name;
    result.speed = point.speed;
    result.source_pressure = point.pressure;
    result.source_temperature = point.temperature;
}

void fill_air(const Network& n,
              const geometry::Engine& engine,
              const OperatingPoint& point,
              const CycleEnd& end,
              PointResult& result) {
    const Layout& at = n.layout;
    PLENAIR_EXPECT(end.state.size() == static_cast<std::size_t>(at.size()));
    PLENAIR_EXPECT(end.trapped.size() == static_cast<std::size_t>(at.cylinders));
    PLENAIR_EXPECT(end.trapped_mass.size() == end.trapped.size());
    double trapped = 0.0;
    double delivered = 0.0;
    result.cylinders.clear();
    for (int c = 0; c < at.cylinders; ++c) {
        const auto i = static_cast<std::size_t>(c);
        CylinderResult r;
        r.cylinder = c + 1;
        r.firing_position = engine.firing_position(c + 1);
        // theory T37
        r.air_trapped = end.trapped[i] * n.gas.dry_air;
        // Fresh fractions of the scheme overshoot 1 by up to 1e-3 at fronts of burned gas.
        // theory T41
        r.residual_fraction = std::max(0.0, 1.0 - end.trapped[i] / end.trapped_mass[i]);
        for (std::size_t v = 0; v < n.valves.size(); ++v) {
            if (n.valves[v].cylinder == c) {
                // theory T36
                r.air_delivered =
                    end.state[static_cast<std::size_t>(at.delivered_fresh()) + v] * n.gas.dry_air;
            }
        }
        trapped += r.air_trapped;
        delivered += r.air_delivered;
        result.cylinders.push_back(r);
    }
    double least = std::numeric_limits<double>::max();
    double most = std::numeric_limits<double>::lowest();
    for (auto& r : result.cylinders) {
        // theory T38, T39
        r.share = r.air_trapped / trapped;
        r.bias = r.share * at.cylinders - 1.0;
        least = std::min(least, r.bias);
        most = std::max(most, r.bias);
    }
    // theory T40
    result.spread = most - least;
    const double cycle_time = 4.0 * std::numbers::pi / point.speed;
    result.air_flow = end.state[static_cast<std::size_t>(at.total(Layout::source_fresh))] *
                      n.gas.dry_air / cycle_time;
    // theory T42
    const double density = n.source.pressure / n.source.rt * n.gas.dry_air;
    result.volumetric_efficiency = delivered / (density * engine.swept_volume() * at.cylinders);
    for (std::string& note : not_an_engine(result, point.combustion)) {
        result.notes.push_back(std::move(note));
    }
}

void fill_losses(const Network& n,
                 const CrankTable& crank,
                 const geometry::Engine& engine,
                 const OperatingPoint& point,
                 const CycleEnd& end,
                 PointResult& result) {
    const Layout& at = n.layout;
    const auto total = [&](Layout::Total w) {
        return end.state[static_cast<std::size_t>(at.total(w))];
    };
    const auto ratio = [](double a, double b) { return b > 0.0 ? a / b : 0.0; };
    // theory T43
    result.throttle_loss = ratio(total(Layout::throttle_loss), total(Layout::source_mass));
    // A slot to a closed room passes as much back as it lets in: it stands in nobody's way.
    // theory T44
    const double through = total(Layout::slot_flow);
    result.slot_loss = through > least_through * total(Layout::source_mass)
                           ? total(Layout::slot_loss) / through
                           : 0.0;
    // theory T45, T46
    result.mouth_loss = ratio(total(Layout::mouth_loss), total(Layout::mouth_flow));
    result.port_loss = ratio(total(Layout::port_loss), total(Layout::mouth_flow));
    const Openings open_to = openings(n);
    result.slot_to_throttle = open_to.slot > 0.0 ? ratio(open_to.slot, open_to.feed) : 0.0;
    // Taylor: Z = Ap Sp/(mean effective valve area while it is open x a); table Cd on curtain area
    // included.
    // theory T48
    const double valves = mean_open_area(crank, crank.intake, at.cylinders);
    const double piston = 0.25 * std::numbers::pi * engine.bore * engine.bore;
    const double speed = engine.stroke * point.speed / std::numbers::pi;
    result.inlet_mach_index = piston * speed / (valves * std::sqrt(n.gas.gamma * n.source.rt));
}

void fill_slot_mach(const Network& n, double peak, PointResult& result) {
    const bool has_slot =
        std::any_of(n.passages.begin(), n.passages.end(), [](const Passage& p) { return p.slot; });
    result.slot_mach = peak;
    // theory T47
    const double g = n.gas.gamma;
    const double m = std::min(peak, 1.0);
    const double power = (g + 1.0) / (2.0 * (g - 1.0));
    const double fraction = m * arithmetic::pow((g + 1.0) / 2.0, power) /
                            arithmetic::pow(1.0 + 0.5 * (g - 1.0) * m * m, power);
    result.choke_margin = has_slot ? 1.0 - fraction : 0.0;
}

}  // namespace plenair
