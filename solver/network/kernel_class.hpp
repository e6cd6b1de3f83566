#pragma once

#include "solver/gas/perfect_gas.hpp"
#include "solver/laws/heat.hpp"
#include "solver/laws/jet.hpp"
#include "solver/laws/slot_edge.hpp"
#include "solver/laws/tee.hpp"
#include "solver/laws/woschni.hpp"
#include "solver/network/cell_loops.hpp"
#include "solver/network/cell_rate.hpp"
#include "solver/network/ends.hpp"
#include "solver/network/flux.hpp"
#include "solver/network/lane.hpp"
#include "solver/network/lane_crank.hpp"
#include "solver/network/passage_law.hpp"
#include "solver/network/reconstruction.hpp"
#include "solver/network/scratch.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace plenair {

/// Rates of one intake, or of several variants of it side by side: mass, axial momentum with
/// profile factor, energy and fresh charge per cell (docs/theory.md), passages, cylinders, cycle
/// integrals.
/// R is a double or a pack of variants. Branches are taken on topology, which the variants share,
/// and on what the crank angle has in motion in any of them; values are blended. Nothing is
/// allocated.
///
/// An evaluation is begin(), then the cells: rate by rate (cell_rates) where a stepper combines
/// them, or straight into the next stage of a Runge-Kutta step (cell_update) for several variants.
template <class R>
class Kernel final {
public:
    using T = typename Lane<R>::Element;

    /// A single variant takes the loops of this processor for its cells.
    Kernel(const Network& topology,
           const Numbers<T>& numbers,
           Scratch<T>& work,
           const laws::Gnielinski& gnielinski,
           const CellLoops* loops)
        : n_(topology), d_(numbers), w_(work), gnielinski_(gnielinski), loops_(loops) {}
    /// Several variants, each at its own crank table.
    Kernel(const Network& topology,
           const LaneCrank<T>& crank,
           const Numbers<T>& numbers,
           Scratch<T>& work,
           const laws::Gnielinski& gnielinski)
        : n_(topology),
          d_(numbers),
          w_(work),
          gnielinski_(gnielinski),
          loops_(nullptr),
          common_(&crank.table()),
          own_(crank.is_common() ? nullptr : &crank) {}

    /// What an evaluation does beside the rates.
    struct Duties {
        bool wall_laws = true;  ///< evaluated anew, or as they were
        bool peaks = true;  ///< the largest of the march are noted, of several variants
    };
    /// Everything but the cells: sources, ends, jets, passages, cylinders; `r` receives their rates
    /// (all entries behind the cells; entries of cells are left alone). `node` is the row of the
    /// crank table.
    void begin(const T* s, T* r, int node, Duties duties, Snapshot* snapshot);

    /// Rates of the cells of a single variant. @pre begin
    void cell_rates(T* r);

    /// One stage of a Runge-Kutta step.
    enum class Part { first, middle, last };
    struct Stage {
        Part part;
        R length;
    };
    /// What a stage makes of one entry: start + length * rate, while `sum` collects the rates of
    /// the stages, 1 : 2 : 2 : 1; the last one steps with their sum.
    template <class Rate>
    [[nodiscard]] static R advanced(const Stage& stage, int i, const T* start, T* sum, Rate rate);
    /// That for every cell of several variants, face by face without arrays between: into the gas
    /// of the next evaluation, the last stage into `next` as well. @pre begin
    void cell_update(T* next, const T* start, T* sum, T* r, const Stage& stage);
    /// The gas of the cells; where stages make it from each other, once before the first.
    void primitives(const T* s);
    /// Raises `speed` to the largest |u| + a in the gas of each chain [m/s].
    void note_speeds(T* speed) const;

private:
    static constexpr bool single = Lane<R>::width == 1;
    struct AdjacentGas {
        R p, p0, rho, u, h0, y;
    };

    [[nodiscard]] static R at(const Aligned<T>& v, std::size_t i) {
        return Lane<R>::load(v.data(), i);
    }
    static void set(Aligned<T>& v, std::size_t i, R value) { Lane<R>::store(v.data(), i, value); }
    [[nodiscard]] static R get(const T* v, int i) {
        return Lane<R>::load(v, static_cast<std::size_t>(i));
    }
    static void put(T* v, int i, R value) { Lane<R>::store(v, static_cast<std::size_t>(i), value); }
    static void add(T* v, int i, R value) { put(v, i, get(v, i) + value); }
    static void add(Aligned<T>& v, std::size_t i, R value) { set(v, i, at(v, i) + value); }
    [[nodiscard]] static std::size_t index(int i) { return static_cast<std::size_t>(i); }

    // Gas, operating point and cylinder of each variant.
    using Point = typename Numbers<T>::Point;
    using Orifice = laws::OrificeLaw<R, LanePolynomial<Numbers<T>::orifice_degree, R>>;
    [[nodiscard]] R point(Point number) const { return at(d_.point, number); }
    [[nodiscard]] R coefficient(typename Numbers<T>::Coefficient number) const {
        return at(d_.coefficients, number);
    }
    [[nodiscard]] R gamma() const { return point(Numbers<T>::gamma); }
    [[nodiscard]] R enthalpy_factor() const { return point(Numbers<T>::enthalpy_factor); }
    [[nodiscard]] gas::PerfectGas<R> gas() const {
        return {gamma(), point(Numbers<T>::pressure_exponent), enthalpy_factor()};
    }
    [[nodiscard]] static Orifice orifice(const Aligned<T>& numbers) {
        return {at(numbers, 0), {numbers.data() + Lane<R>::width}};
    }
    template <std::size_t Degree>
    using Polynomial = LanePolynomial<Degree, R>;
    using Duct = laws::DuctLaw<R, Polynomial>;
    [[nodiscard]] Duct duct() const {
        const auto& numbers = d_.duct;
        std::size_t i = Numbers<T>::duct_numbers;
        const auto next = [&](int degree) {
            const T* here = numbers.data() + i * Lane<R>::width;
            i += index(Numbers<T>::polynomial_count(degree));
            return here;
        };
        Duct law;
        law.choked_flow = at(numbers, 0);
        law.sonic_x = at(numbers, 1);
        law.sonic_fall = at(numbers, 2);
        law.mach_of_flow.numbers = next(Numbers<T>::duct_flow_degree);
        law.wave.numbers = next(Numbers<T>::duct_wave_degree);
        law.rise.numbers = next(Numbers<T>::duct_head_degree);
        law.fall.numbers = next(Numbers<T>::duct_head_degree);
        law.supersonic.numbers = next(Numbers<T>::duct_head_degree);
        return law;
    }
    /// What the ends of ducts take of the charge.
    [[nodiscard]] ends::Relations<R, Duct, Orifice> relations() const {
        return {gas(), duct(), orifice(d_.orifice)};
    }
    [[nodiscard]] static R expansion(const Numbers<T>& numbers, R x) {
        return LanePolynomial<Numbers<T>::expansion_degree, R>{numbers.expansion.data()}(x);
    }
    [[nodiscard]] LaneCylinderGas<R> cylinder_gas(std::size_t component) const {
        return {d_.cylinder_gas.data() + component * Numbers<T>::component_count * Lane<R>::width};
    }
    /// At this crank angle, of a cylinder.
    [[nodiscard]] R crank(CrankColumn column, int cylinder) const {
        const std::size_t row = crank_row(cylinder);
        if constexpr (single) {
            return n_.crank.column(column)[row];
        } else {
            return own_ == nullptr ? R(common_->column(column)[row])
                                   : Lane<R>::load(own_->at(column, row), 0);
        }
    }
    /// Whether it is above zero in any variant.
    [[nodiscard]] bool acts(CrankColumn column, int cylinder) const {
        const std::size_t row = crank_row(cylinder);
        if constexpr (single) {
            return n_.crank.column(column)[row] > 0.0;
        } else {
            return own_ == nullptr ? common_->column(column)[row] > 0.0 : own_->acts(column, row);
        }
    }
    [[nodiscard]] std::size_t crank_row(int cylinder) const {
        return index(node_ * n_.layout.cylinders + cylinder);
    }

    // Inlined by force is what gcc 12 would hand packs to through memory: a seventh of the time.
    // kernel_update
    struct Conserved {
        R rho, rho_u, rho_e, rho_y;
    };
    [[gnu::always_inline]] inline void put_gas(CellGas<T>& gas, int i, const Conserved& q) const;
    template <bool with_sources>
    [[nodiscard]] CellBalance<R> balance(std::size_t j);
    /// Heat from the walls of a chain [W], and what their friction dissipates, times density.
    struct WallSums {
        R heat, loss;
    };
    template <bool with_sources>
    [[nodiscard]] WallSums chain_update(
        std::size_t c, T* next, const T* start, T* sum, const Stage& stage);
    // kernel_cells
    void ghosts();
    void jets(const T* s, T* r);
    [[nodiscard]] static double share_from_start(const Chain& chain, int face);
    void apply_edges();
    [[nodiscard, gnu::always_inline]] inline R drag(std::size_t cell) const;
    [[nodiscard]] R closure(const Chain& chain) const;
    [[nodiscard]] bool is_wall(const Chain& chain, bool at_start) const;
    [[nodiscard]] FaceFlux<R> interior_face(std::size_t f) const;
    [[nodiscard]] FaceFlux<R> edge_flux(std::size_t chain, std::size_t side) const;
    // kernel_ends
    [[nodiscard, gnu::always_inline]] inline ends::DuctEnd<R> duct_end(std::size_t chain,
                                                                       bool at_start) const;
    [[gnu::always_inline]] inline void set_face(std::size_t chain,
                                                bool at_start,
                                                const ends::Crossing<R>& c,
                                                R beta);
    void boundary_faces(T* r);
    [[nodiscard]] R wall_pressure(const ends::DuctEnd<R>& f) const;
    void closed_end(std::size_t chain, bool at_start);
    void open_end(std::size_t chain, bool at_start, T* r);
    void throttle_end(std::size_t chain, bool at_start, T* r);
    void exit_end(std::size_t chain, bool at_start, T* r);
    void count_source(T* r, R mass, R h0, R fresh);
    void count_exit(T* r, R mass, R h0, R fresh);
    // kernel_exchanges
    [[nodiscard, gnu::always_inline]] inline AdjacentGas adjacent_gas(const Footprint& f,
                                                                      std::size_t footprint) const;
    [[nodiscard]] AdjacentGas room_gas(std::size_t side) const;
    [[gnu::always_inline]] inline void exchange(
        const Footprint& f, std::size_t footprint, R mass, R velocity_factor, R h0, R fresh);
    void tee_run_loss(
        const Mouth& mouth, std::size_t i, const AdjacentGas& beside, R out_velocity, R mass);
    [[nodiscard]] R half_cotangent(std::size_t i, const Approach<R>& v) const;
    void joining_momentum(const Mouth& mouth, std::size_t i, R pushed, R mass);
    void mouths(T* r, bool peaks);
    void passages(const T* s, T* r, bool peaks);
    void passage(std::size_t i, const T* s, T* r, bool peaks);
    [[nodiscard, gnu::always_inline]] inline R discharge_squared(std::size_t i, R flow, R x) const;
    /// Keeps for a report how near to choking an opening at an end of a chain is.
    void note_opening(
        std::size_t chain, bool at_start, const ends::Crossing<R>& c, R outside, R diffuser);

    // kernel_cylinders
    void cylinder_states(const T* s);
    void valves(T* r);
    void cylinders(const T* s, T* r, bool wall_laws);
    [[nodiscard]] R exhaust_flow(const T* s, T* r, int cylinder);
    // kernel_walls
    void wall_factors();

    const Network& n_;
    const Numbers<T>& d_;
    Scratch<T>& w_;
    laws::Gnielinski gnielinski_;
    const CellLoops* loops_;
    const CrankTable* common_ = nullptr;  ///< of all variants, where they share one
    const LaneCrank<T>* own_ = nullptr;  ///< where they do not
    int node_ = 0;
    Snapshot* snapshot_ = nullptr;
};

template <class R>
void Kernel<R>::begin(const T* s, T* r, int node, Duties duties, Snapshot* snapshot) {
    node_ = node;
    snapshot_ = snapshot;
    const Layout& at = n_.layout;
    constexpr int width = static_cast<int>(Lane<R>::width);
    // Jets of several variants are written where they are read.
    std::fill(r + (single ? at.jet() : at.passage_flow()) * width, r + at.size() * width, T(0));
    if constexpr (single) {
        primitives(s);
    }
    ghosts();
    boundary_faces(r);
    mouths(r, duties.peaks);
    if (n_.has_engine()) {
        cylinder_states(s);
        valves(r);
        cylinders(s, r, duties.wall_laws);
    }
    jets(s, r);
    passages(s, r, duties.peaks);
    if (duties.wall_laws) {
        wall_factors();
    }
}

}  // namespace plenair
