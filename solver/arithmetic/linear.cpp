#include "solver/arithmetic/linear.hpp"

#include "geometry/contract.hpp"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <Eigen/QR>
#include <Eigen/SparseLU>

namespace plenair::arithmetic {

RowMajorMatrix inverse(const RowMajorMatrix& a) {
    PLENAIR_EXPECT(a.rows() == a.cols());
    return a.partialPivLu().inverse();
}

Eigen::VectorXd least_squares(const Eigen::Ref<const Eigen::MatrixXd>& a,
                              const Eigen::VectorXd& b) {
    PLENAIR_EXPECT(a.rows() == b.size());
    return a.colPivHouseholderQr().solve(b);
}

Eigen::VectorXd least_norm(const Eigen::MatrixXd& a, const Eigen::VectorXd& b) {
    PLENAIR_EXPECT(a.rows() == b.size());
    return a.completeOrthogonalDecomposition().solve(b);
}

Eigen::MatrixXd solve(const Eigen::MatrixXd& a, const Eigen::MatrixXd& b) {
    PLENAIR_EXPECT(a.rows() == a.cols() && a.rows() == b.rows());
    return a.partialPivLu().solve(b);
}

Eigenpairs symmetric_eigenpairs(const Eigen::MatrixXd& a) {
    PLENAIR_EXPECT(a.rows() == a.cols());
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(a);
    return {eigen.eigenvalues(), eigen.eigenvectors()};
}

std::optional<Eigen::VectorXd> solve(const Eigen::SparseMatrix<double>& a,
                                     const Eigen::VectorXd& b) {
    PLENAIR_EXPECT(a.rows() == a.cols() && a.rows() == b.size());
    if (!a.coeffs().allFinite()) {
        return std::nullopt;
    }
    const Eigen::SparseLU<Eigen::SparseMatrix<double>> lu(a);
    if (lu.info() != Eigen::Success) {
        return std::nullopt;
    }
    Eigen::VectorXd x = lu.solve(b);
    if (!x.allFinite()) {
        return std::nullopt;
    }
    return x;
}

}  // namespace plenair::arithmetic
