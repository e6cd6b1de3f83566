#pragma once

#include "geometry/places.hpp"
#include "solver/laws/slot_edge.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/cells.hpp"

#include <cmath>
#include <numbers>
#include <optional>
#include <string>

namespace plenair {

/// Bore of the circle of an area.
[[nodiscard]] inline double equal_diameter(double area) {
    return std::sqrt(4.0 * area / std::numbers::pi);
}

/// Collects chains, passages and mouths; then lays out the state.
class NetworkBuilder final {
public:
    NetworkBuilder(const geometry::Intake& intake, const Model& model, const Network* like)
        : intake_(intake), like_(like) {
        n_.model = model;
        for (std::size_t i = 0; i < intake.banks.size(); ++i) {
            n_.banks.push_back(geometry::bank_name(intake, i));
        }
    }

    /// Gas, tables and reservoirs from pressure [Pa], temperature [K], gas constant [J/kg K], ratio
    /// of specific heats and the share of dry air in the charge.
    void set_gas(
        double pressure, double temperature, double gas_constant, double gamma, double dry_air);

    /// Parts of a bank, at an operating point or on the bench.
    void add_bank(const geometry::Bank& bank,
                  std::optional<double> throttle_angle,
                  const BenchParts* parts);
    /// Cylinders behind the valves that stand there, and what they blow into. @throws InputError
    /// where there is no valve
    void set_engine(const geometry::Engine& engine,
                    const OperatingPoint& point,
                    const gas::Mixture& charge);
    /// The network, its state laid out, checked by expect_complete.
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
    void add_throttles(const geometry::Bank& bank,
                       int pre,
                       int plenum,
                       std::optional<double> angle);
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
    int bank_ = 0;  ///< whose parts are being added, 0-based
    int runners_ = 0;
    bool any_jet_ = false;
};

}  // namespace plenair
