#include "cases/study/learned.hpp"

#include "solver/arithmetic/linear.hpp"

#include <algorithm>
#include <cstddef>

namespace plenair {

std::vector<std::vector<double>> correlation_matrix(const std::vector<LearnedEntry>& learned) {
    const std::size_t count = learned.size();
    std::vector<std::vector<double>> matrix(count, std::vector<double>(count, 0.0));
    for (std::size_t i = 0; i < count; ++i) {
        matrix[i][i] = 1;
        for (std::size_t j = 0; j < std::min(i, learned[i].correlation.size()); ++j) {
            matrix[i][j] = matrix[j][i] = learned[i].correlation[j];
        }
    }
    return matrix;
}

bool possible(const std::vector<LearnedEntry>& learned) {
    const auto rows = correlation_matrix(learned);
    const auto count = static_cast<Eigen::Index>(rows.size());
    if (count == 0) {
        return true;
    }
    Eigen::MatrixXd matrix(count, count);
    for (Eigen::Index i = 0; i < count; ++i) {
        for (Eigen::Index j = 0; j < count; ++j) {
            matrix(i, j) = rows[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
        }
    }
    // Printed to four digits, they may fall short of possible by as much.
    constexpr double printed = 1e-3;
    return arithmetic::symmetric_eigenpairs(matrix).values.minCoeff() > -printed;
}

}  // namespace plenair
