#include "solver/march/anderson.hpp"

#include "geometry/contract.hpp"
#include "solver/arithmetic/linear.hpp"

namespace plenair {

Anderson::Next Anderson::next(const Eigen::VectorXd& x,
                              const Eigen::VectorXd& g,
                              const Eigen::VectorXd& beside) {
    PLENAIR_EXPECT(g.size() == x.size());
    PLENAIR_EXPECT(!started_ ||
                   (g.size() == last_image_.size() && beside.size() == last_beside_.size()));
    const Eigen::VectorXd residual = g - x;
    if (!started_) {
        images_.resize(x.size(), depth_);
        residuals_.resize(x.size(), depth_);
        besides_.resize(beside.size(), depth_);
    } else {
        if (columns_ == depth_) {
            for (int c = 0; c + 1 < depth_; ++c) {
                images_.col(c) = images_.col(c + 1);
                residuals_.col(c) = residuals_.col(c + 1);
                besides_.col(c) = besides_.col(c + 1);
            }
            --columns_;
        }
        images_.col(columns_) = g - last_image_;
        residuals_.col(columns_) = residual - last_residual_;
        besides_.col(columns_) = beside - last_beside_;
        ++columns_;
    }
    started_ = true;
    last_image_ = g;
    last_residual_ = residual;
    last_beside_ = beside;
    if (columns_ == 0) {
        return {g, beside};
    }
    const Eigen::VectorXd weight =
        arithmetic::least_squares(residuals_.leftCols(columns_), residual);
    return {g - images_.leftCols(columns_) * weight, beside - besides_.leftCols(columns_) * weight};
}

}  // namespace plenair
