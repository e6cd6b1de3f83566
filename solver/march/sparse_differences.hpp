#pragma once

#include <Eigen/Core>
#include <Eigen/SparseCore>

#include <functional>
#include <vector>

namespace plenair {

/// Jacobian of a function whose entries each feel a few unknowns, by differences. Columns that
/// share no row are moved together, so that it takes as many evaluations as there are colours. The
/// pattern is learned: the first Jacobian is formed column by column, and again where a move of all
/// unknowns shows that the pattern has grown.
/// @source Curtis A. R., Powell M. J. D., Reid J. K. 1974, J. Inst. Maths Applics 13, 117-119
/// (from memory)
class SparseDifferences final {
public:
    /// f at x + move, x being fixed from one Jacobian's begin to its end.
    using Function = std::function<void(const Eigen::VectorXd& move, Eigen::VectorXd& f)>;

    explicit SparseDifferences(Eigen::Index size) : rows_(static_cast<std::size_t>(size)) {}

    /// Forward differences of one width; `at_x` is f(x).
    [[nodiscard]] const Eigen::SparseMatrix<double>& forward(const Function& function,
                                                             const Eigen::VectorXd& at_x,
                                                             double width);
    /// Central differences, `width` for each unknown.
    [[nodiscard]] const Eigen::SparseMatrix<double>& central(const Function& function,
                                                             const Eigen::VectorXd& width);

    /// Has the next Jacobian formed column by column, for what a move of all cannot show.
    void check_pattern() { check_pattern_ = true; }

private:
    /// (f(x + move) - f(x - move))/2, or f(x + move) - f(x).
    using Difference = std::function<Eigen::VectorXd(const Eigen::VectorXd& move)>;

    void form(const Difference& difference, const Eigen::VectorXd& width);
    void by_columns(const Difference& difference, const Eigen::VectorXd& width);
    void by_colours(const Difference& difference, const Eigen::VectorXd& width);
    [[nodiscard]] bool holds(const Difference& difference, const Eigen::VectorXd& width) const;
    void colour();

    std::vector<std::vector<int>> rows_;  ///< of each column: those found to be other than nought
    std::vector<int> colour_;  ///< of each column; empty: pattern not known
    int colours_ = 0;
    bool check_pattern_ = false;
    Eigen::SparseMatrix<double> jacobian_;
};

}  // namespace plenair
