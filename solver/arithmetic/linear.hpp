#pragma once

#include <Eigen/SparseCore>

#include <optional>

/// Systems of linear equations and eigenvalues, by the decompositions of Eigen. Compiled once:
/// their templates take seconds in each file.
namespace plenair::arithmetic {

using RowMajorMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// Inverse of a square matrix by LU with partial pivoting; not finite where it is singular.
[[nodiscard]] RowMajorMatrix inverse(const RowMajorMatrix& a);

/// x of the least |a x - b| for as many columns or fewer than rows, by QR with column pivoting.
[[nodiscard]] Eigen::VectorXd least_squares(const Eigen::Ref<const Eigen::MatrixXd>& a,
                                            const Eigen::VectorXd& b);

/// Of the x of the least |a x - b| the shortest, whatever the rank of a.
[[nodiscard]] Eigen::VectorXd least_norm(const Eigen::MatrixXd& a, const Eigen::VectorXd& b);

/// x of a x = b, a column for each of b, by LU with partial pivoting; not finite where `a` is
/// singular.
[[nodiscard]] Eigen::MatrixXd solve(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b);

/// Eigenvalues of a symmetric matrix, ascending, and its eigenvectors in columns.
struct Eigenpairs {
    Eigen::VectorXd values;
    Eigen::MatrixXd vectors;
};
[[nodiscard]] Eigenpairs symmetric_eigenpairs(const Eigen::MatrixXd& a);

/// x of a x = b by sparse LU; none where `a` is singular or an entry is not finite.
[[nodiscard]] std::optional<Eigen::VectorXd> solve(const Eigen::SparseMatrix<double>& a,
                                                   const Eigen::VectorXd& b);

}  // namespace plenair::arithmetic
