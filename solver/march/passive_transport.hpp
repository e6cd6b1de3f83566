#pragma once

#include "solver/arithmetic/linear.hpp"
#include "solver/network/network.hpp"

#include <vector>

namespace plenair {

/// How the flow of one cycle carries what is passive - entropy and fresh fraction at constant
/// pressure - from cell to cell. Still air in dead ends and big chambers forgets so slowly that the
/// residual of a cycle shows but a hundredth of its error; this is the part of the cycle map's
/// Jacobian that says so, known from the marched flow without a further cycle.
/// @source Khatiwala S. 2008, Ocean Modelling 23, 121-129: the periodic state of tracers in a
/// seasonal flow by a solver preconditioned with the flow's transport matrix.
/// theory T62
class PassiveTransport final {
public:
    /// Begins a cycle: nothing is carried yet. The network must live as long as `carry` is called.
    explicit PassiveTransport(const Network& network);

    /// Carries on over `length` [s] with the flow of `state`; may span two steps of the march.
    void carry(const std::vector<double>& state, double length);
    /// After the last step, once: forms the inverse that `forecast` needs, with `kept` < 1 of the
    /// matrix, which bounds the forecast to 1/(1 - kept) cycles. Stays unknown where the carried
    /// matrix is of no use.
    void end(double kept);

    [[nodiscard]] bool known() const { return known_; }

    /// All changes still to come in cycles to follow where one cycle changed the entropy of the
    /// real cells by `change` (ln rho at constant pressure): (I - c S)^-1 - I times it.
    [[nodiscard]] Eigen::VectorXd forecast(const Eigen::VectorXd& change) const;

    /// Padded index of each real cell, in the order of `forecast`.
    [[nodiscard]] const std::vector<int>& cells() const { return cells_; }

private:
    using Matrix = arithmetic::RowMajorMatrix;
    /// Single precision: it is to be right to a percent, and half of its time is memory.
    using Carried = Eigen::Matrix<float, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    struct Weight {
        int cell;
        double value;
    };

    void chain(const Chain& chain, const std::vector<double>& state, double length);
    void inner_face(const Chain& chain, int face, const std::vector<double>& state, double length);
    void exchange(const Footprint& from, const Footprint& to, double flow);
    void inflow(int cell, double flow);
    void gain(int cell, double rate, int from);
    [[nodiscard]] int row(int padded) const { return row_[static_cast<std::size_t>(padded)]; }

    const Network& n_;
    std::vector<int> cells_, row_;
    std::vector<Footprint> runners_;  ///< first cell behind each mouth
    Carried carried_, next_;
    Matrix forecast_;
    std::vector<std::vector<Weight>> rates_;  ///< per row: what it takes from others [kg/s]
    std::vector<double> own_;  ///< per row: what it loses of its own [kg/s]
    bool known_ = false;
};

}  // namespace plenair
