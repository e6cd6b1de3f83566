#include <doctest/doctest.h>

#include "solver/march/sparse_differences.hpp"
#include "tests/support/near.hpp"

using namespace plenair;

namespace {

constexpr Eigen::Index size = 40;

/// f_i = x_(i-1)^2 + 3 x_i - x_i x_(i+1); the first feels the last one too while x_0 is above 1.
Eigen::VectorXd value(const Eigen::VectorXd& x) {
    Eigen::VectorXd f(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        const double before = i > 0 ? x[i - 1] : 0.0;
        const double behind = i + 1 < size ? x[i + 1] : 0.0;
        f[i] = before * before + 3.0 * x[i] - x[i] * behind;
    }
    f[0] += x[0] > 1.0 ? 2.0 * x[size - 1] : 0.0;
    return f;
}

Eigen::MatrixXd derivative(const Eigen::VectorXd& x) {
    Eigen::MatrixXd d = Eigen::MatrixXd::Zero(size, size);
    for (Eigen::Index i = 0; i < size; ++i) {
        d(i, i) = 3.0 - (i + 1 < size ? x[i + 1] : 0.0);
        if (i > 0) {
            d(i, i - 1) = 2.0 * x[i - 1];
        }
        if (i + 1 < size) {
            d(i, i + 1) = -x[i];
        }
    }
    d(0, size - 1) += x[0] > 1.0 ? 2.0 : 0.0;
    return d;
}

/// A function that counts its calls.
struct Counted {
    Eigen::VectorXd x;
    int calls = 0;

    SparseDifferences::Function function() {
        return [this](const Eigen::VectorXd& move, Eigen::VectorXd& f) {
            ++calls;
            f = value(x + move);
        };
    }
};

Eigen::VectorXd somewhere(double first) {
    Eigen::VectorXd x(size);
    for (Eigen::Index i = 0; i < size; ++i) {
        x[i] = 0.2 + 0.01 * static_cast<double>(i);
    }
    x[0] = first;
    return x;
}

}  // namespace

TEST_CASE("sparse differences: derivatives known in closed form, a few evaluations once it knows") {
    Counted counted{somewhere(0.3)};
    SparseDifferences differences(size);
    const auto off = [&](double width) {
        const Eigen::MatrixXd found =
            differences.forward(counted.function(), value(counted.x), width);
        return (found - derivative(counted.x)).cwiseAbs().maxCoeff();
    };
    CHECK(off(1e-7) < 1e-6);
    CHECK(counted.calls == size);
    counted.calls = 0;
    counted.x *= 1.5;
    CHECK(off(1e-7) < 1e-6);
    CHECK(counted.calls <= 6);  // five unknowns share no row with a third neighbour; one to see
    // An entry that was not there is found, and counts from then on.
    counted.x[0] = 1.4;
    CHECK(off(1e-7) < 1e-6);
    counted.calls = 0;
    CHECK(off(1e-7) < 1e-6);
    CHECK(counted.calls <= 8);
}

TEST_CASE("sparse differences: central ones are exact for a quadratic, whatever their width") {
    Counted counted{somewhere(0.3)};
    SparseDifferences differences(size);
    for (int i = 0; i < 2; ++i) {
        const Eigen::MatrixXd found =
            differences.central(counted.function(), Eigen::VectorXd::Constant(size, 0.05));
        CHECK((found - derivative(counted.x)).cwiseAbs().maxCoeff() < 1e-12);
    }
}
