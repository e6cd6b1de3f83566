#pragma once

namespace plenair {

/// Where each quantity stands in the state vector. Cells carry two ghost places at each end of
/// their chain so that one loop serves every face; ghosts have no rate and never reach a result.
struct Layout {
    int cells = 0;  ///< padded cells of all chains
    int jets = 0;  ///< thrust of jets, one per padded cell of the chains that carry a jet
    int passages = 0;
    int valves = 0;  ///< runner ends with an intake valve
    int cylinders = 0;

    [[nodiscard]] int rho() const { return 0; }  ///< density [kg/m3]
    [[nodiscard]] int rho_u() const { return cells; }  ///< momentum [kg/(m2 s)]
    [[nodiscard]] int rho_e() const { return 2 * cells; }  ///< total energy [J/m3]
    [[nodiscard]] int rho_y() const { return 3 * cells; }  ///< fresh charge [kg/m3]
    [[nodiscard]] int jet() const {
        return 4 * cells;
    }  ///< excess momentum flow on the right face of a cell [N]
    [[nodiscard]] int passage_flow() const { return jet() + jets; }  ///< [kg/s]
    [[nodiscard]] int cylinder_mass() const { return passage_flow() + passages; }  ///< [kg]
    [[nodiscard]] int cylinder_energy() const {
        return cylinder_mass() + cylinders;
    }  ///< internal [J]
    [[nodiscard]] int cylinder_fresh() const { return cylinder_energy() + cylinders; }  ///< [kg]
    [[nodiscard]] int cylinder_motored() const {
        return cylinder_fresh() + cylinders;
    }  ///< p V^k [Pa m3k]
    [[nodiscard]] int exhaust_flow() const { return cylinder_motored() + cylinders; }  ///< [kg/s]
    /// Length of the part that a cycle must repeat; the cycle integrals follow it.
    [[nodiscard]] int periodic_size() const { return exhaust_flow() + cylinders; }

    // Integrals over one cycle, stepped with the state so that balances close to rounding.
    enum Total {
        source_mass,
        source_energy,
        source_fresh,
        throttle_loss,
        slot_flow,
        slot_loss,
        mouth_flow,
        mouth_loss,
        port_loss,
        exhaust_mass,
        exhaust_energy,
        exhaust_fresh,
        wall_heat,
        cylinder_heat,
        released_heat,
        burned_air,
        work,
        exit_mass,
        exit_energy,
        exit_fresh,
        total_count
    };
    [[nodiscard]] int total(Total which) const { return periodic_size() + static_cast<int>(which); }
    [[nodiscard]] int delivered_mass() const { return periodic_size() + total_count; }
    [[nodiscard]] int delivered_fresh() const { return delivered_mass() + valves; }
    [[nodiscard]] int passage_mass() const { return delivered_fresh() + valves; }
    [[nodiscard]] int size() const { return passage_mass() + passages; }
};

}  // namespace plenair
