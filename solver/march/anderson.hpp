#pragma once

#include <Eigen/Core>

namespace plenair {

/// Anderson acceleration of a fixed point x = G(x): the next iterate is the combination of the last
/// m + 1 images whose residuals cancel best.
/// @source Walker H. F., Ni P. 2011, SIAM J. Numer. Anal. 49(4), 1715-1735, algorithm AA with QR of
/// differences.
/// theory T62
class Anderson final {
public:
    explicit Anderson(int depth) : depth_(depth) {}

    struct Next {
        Eigen::VectorXd state;
        /// What the same combination makes of `beside`: its forecast for `state`.
        Eigen::VectorXd beside;
    };
    /// Next iterate from x and its image g, both scaled to order one. `beside` is what else is
    /// known of the same cycle; its length is the same in every call.
    [[nodiscard]] Next next(const Eigen::VectorXd& x,
                            const Eigen::VectorXd& g,
                            const Eigen::VectorXd& beside);
    void reset() {
        columns_ = 0;
        started_ = false;
    }

private:
    int depth_;
    int columns_ = 0;
    bool started_ = false;
    Eigen::VectorXd last_image_, last_residual_, last_beside_;
    Eigen::MatrixXd images_, residuals_, besides_;  // differences, newest last
};

}  // namespace plenair
