#include "cases/study/least_squares.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

/// Statistical Reference Datasets of the National Institute of Standards and Technology (public
/// domain): data, starts and certified values as printed on its pages, www.itl.nist.gov/div898/strd
/// (values compared with public copies of those pages).
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using plenair::LeastSquares;

constexpr double infinity = std::numeric_limits<double>::infinity();

struct Data {
    std::vector<double> y, x;
};

template <class Model>
LeastSquares problem_of(const Data& data, const std::vector<double>& start, Model model) {
    LeastSquares problem;
    const auto n = static_cast<Index>(start.size());
    problem.start = Eigen::Map<const VectorXd>(start.data(), n);
    problem.lower = VectorXd::Constant(n, -infinity);
    problem.upper = VectorXd::Constant(n, infinity);
    problem.prior = VectorXd::Zero(n);
    problem.prior_deviation = VectorXd::Constant(n, infinity);
    problem.step = 1e-5 * problem.start.cwiseAbs();
    problem.robust = infinity;
    problem.max_evaluations = 5000;
    problem.tolerance = 1e-15;
    problem.residuals = [&data, model](const MatrixXd& trials) {
        MatrixXd r(static_cast<Index>(data.y.size()), trials.cols());
        for (Index k = 0; k < trials.cols(); ++k) {
            for (std::size_t i = 0; i < data.y.size(); ++i) {
                r(static_cast<Index>(i), k) = data.y[i] - model(data.x[i], trials.col(k));
            }
        }
        return r;
    };
    return problem;
}

struct Certified {
    double value, deviation;
};

/// Values to 8 digits, deviations to 5: derivatives are differences.
void check_certified(const LeastSquares& problem,
                     const std::vector<Certified>& certified,
                     double sum) {
    auto result = plenair::solve_least_squares(problem);
    // From far away the differences are made with steps fit for the start: once more from the end.
    LeastSquares again = problem;
    again.start = result.x;
    again.step = 1e-5 * result.x.cwiseAbs();
    result = plenair::solve_least_squares(again);
    CHECK(result.sum == near(sum, 1e-9));
    const double freedom =
        static_cast<double>(result.residuals.size() - static_cast<Index>(certified.size()));
    for (std::size_t i = 0; i < certified.size(); ++i) {
        const auto k = static_cast<Index>(i);
        CAPTURE(i);
        CHECK(result.x[k] == near(certified[i].value, 1e-7));
        CHECK(std::sqrt(result.covariance(k, k) * result.sum / freedom) ==
              near(certified[i].deviation, 1e-4));
    }
}

}  // namespace

// NIST Statistical Reference Datasets: Misra D. 1978, dental research, monomolecular adsorption.
TEST_CASE("least squares: Misra1a from both starts") {
    const Data data{{10.07,
                     14.73,
                     17.94,
                     23.93,
                     29.61,
                     35.18,
                     40.02,
                     44.82,
                     50.76,
                     55.05,
                     61.01,
                     66.40,
                     75.47,
                     81.78},
                    {77.6,
                     114.9,
                     141.1,
                     190.8,
                     239.9,
                     289.0,
                     332.8,
                     378.4,
                     434.8,
                     477.3,
                     536.8,
                     593.1,
                     689.1,
                     760.0}};
    const auto model = [](double x, const auto& b) { return b[0] * (1 - std::exp(-b[1] * x)); };
    for (const auto& start : {std::vector<double>{500, 1e-4}, std::vector<double>{250, 5e-4}}) {
        check_certified(problem_of(data, start, model),
                        {{2.3894212918e+02, 2.7070075241}, {5.5015643181e-04, 7.2668688436e-06}},
                        1.2455138894e-01);
    }
}

// NIST Statistical Reference Datasets: Daniel C., Wood F. S. 1980, Fitting Equations to Data.
TEST_CASE("least squares: DanWood from both starts") {
    const Data data{{2.138, 3.421, 3.597, 4.340, 4.882, 5.660},
                    {1.309, 1.471, 1.490, 1.565, 1.611, 1.680}};
    const auto model = [](double x, const auto& b) { return b[0] * std::pow(x, b[1]); };
    for (const auto& start : {std::vector<double>{1, 5}, std::vector<double>{0.7, 4}}) {
        check_certified(problem_of(data, start, model),
                        {{7.6886226176e-01, 1.8281973860e-02}, {3.8604055871, 5.1726610913e-02}},
                        4.3173084083e-03);
    }
}

// NIST Statistical Reference Datasets: Kowalik J. S., Osborne M. R. 1978, Methods for Unconstrained
// Optimization Problems.
TEST_CASE("least squares: MGH09, of higher difficulty, from its second start") {
    const Data data{{1.957e-1,
                     1.947e-1,
                     1.735e-1,
                     1.6e-1,
                     8.44e-2,
                     6.27e-2,
                     4.56e-2,
                     3.42e-2,
                     3.23e-2,
                     2.35e-2,
                     2.46e-2},
                    {4, 2, 1, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625}};
    const auto model = [](double x, const auto& b) {
        return b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]);
    };
    check_certified(problem_of(data, {0.25, 0.39, 0.415, 0.39}, model),
                    {{1.9280693458e-01, 1.1435312227e-02},
                     {1.9128232873e-01, 1.9633220911e-01},
                     {1.2305650693e-01, 8.0842031232e-02},
                     {1.3606233068e-01, 9.0025542308e-02}},
                    3.0750560385e-04);
}

// NIST Statistical Reference Datasets: Longley J. W. 1967, J. Am. Stat. Assoc. 62, 819-841.
TEST_CASE("least squares: Longley, linear and nearly collinear") {
    const std::vector<std::vector<double>> rows{{60323, 83.0, 234289, 2356, 1590, 107608, 1947},
                                                {61122, 88.5, 259426, 2325, 1456, 108632, 1948},
                                                {60171, 88.2, 258054, 3682, 1616, 109773, 1949},
                                                {61187, 89.5, 284599, 3351, 1650, 110929, 1950},
                                                {63221, 96.2, 328975, 2099, 3099, 112075, 1951},
                                                {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
                                                {64989, 99.0, 365385, 1870, 3547, 115094, 1953},
                                                {63761, 100.0, 363112, 3578, 3350, 116219, 1954},
                                                {66019, 101.2, 397469, 2904, 3048, 117388, 1955},
                                                {67857, 104.6, 419180, 2822, 2857, 118734, 1956},
                                                {68169, 108.4, 442769, 2936, 2798, 120445, 1957},
                                                {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
                                                {68655, 112.6, 482704, 3813, 2552, 123366, 1959},
                                                {69564, 114.2, 502601, 3931, 2514, 125368, 1960},
                                                {69331, 115.7, 518173, 4806, 2572, 127852, 1961},
                                                {70551, 116.9, 554894, 4007, 2827, 130081, 1962}};
    LeastSquares problem;
    problem.start = VectorXd::Zero(7);
    problem.lower = VectorXd::Constant(7, -infinity);
    problem.upper = VectorXd::Constant(7, infinity);
    problem.prior = VectorXd::Zero(7);
    problem.prior_deviation = VectorXd::Constant(7, infinity);
    problem.step = VectorXd::Zero(7);
    problem.step << 4096, 64, 0.0625, 1, 1, 0.25, 2;  // powers of two: exact differences
    problem.robust = infinity;
    problem.max_evaluations = 5000;
    problem.tolerance = 1e-15;
    problem.residuals = [&rows](const MatrixXd& trials) {
        MatrixXd r(static_cast<Index>(rows.size()), trials.cols());
        for (Index k = 0; k < trials.cols(); ++k) {
            for (std::size_t i = 0; i < rows.size(); ++i) {
                double model = trials(0, k);
                for (Index j = 1; j < 7; ++j) {
                    model += trials(j, k) * rows[i][static_cast<std::size_t>(j)];
                }
                r(static_cast<Index>(i), k) = rows[i][0] - model;
            }
        }
        return r;
    };
    auto result = plenair::solve_least_squares(problem);
    problem.start = result.x;
    result = plenair::solve_least_squares(problem);
    const std::vector<Certified> certified{{-3482258.63459582, 890420.383607373},
                                           {15.0618722713733, 84.9149257747669},
                                           {-0.358191792925910e-01, 0.334910077722432e-01},
                                           {-2.02022980381683, 0.488399681651699},
                                           {-1.03322686717359, 0.214274163161675},
                                           {-0.511041056535807e-01, 0.226073200069370},
                                           {1829.15146461355, 455.478499142212}};
    CHECK(std::sqrt(result.sum / 9) == near(304.854073561965, 1e-9));
    for (std::size_t i = 0; i < certified.size(); ++i) {
        CAPTURE(i);
        CHECK(result.x[static_cast<Index>(i)] == near(certified[i].value, 1e-5));
    }
}

// Active bounds: Nocedal J., Wright S. J. 2006, Numerical Optimization, ch. 16 (from memory).
TEST_CASE("least squares: a bound holds an entry and says so") {
    LeastSquares problem;
    problem.start = VectorXd::Constant(2, 0.5);
    problem.lower = VectorXd::Constant(2, 0.0);
    problem.upper = VectorXd::Constant(2, 1.0);
    problem.prior = VectorXd::Zero(2);
    problem.prior_deviation = VectorXd::Constant(2, infinity);
    problem.step = VectorXd::Constant(2, 1e-3);
    // Least at (2, 0.3): the first entry stops at 1.
    problem.residuals = [](const MatrixXd& x) {
        MatrixXd r(2, x.cols());
        r.row(0) = x.row(0).array() - 2.0;
        r.row(1) = x.row(1).array() - 0.3;
        return r;
    };
    const auto result = plenair::solve_least_squares(problem);
    CHECK(result.at_bound[0]);
    CHECK_FALSE(result.at_bound[1]);
    CHECK(result.x[0] == near(1.0, 1e-12));
    CHECK(result.x[1] == near(0.3, 1e-6));
    CHECK(result.covariance(0, 0) == near(0.0, 0.0, 0.0));
}

TEST_CASE(
    "least squares: one bad reading of eleven moves the mean by less than half its deviation") {
    LeastSquares problem;
    problem.start = VectorXd::Zero(1);
    problem.lower = VectorXd::Constant(1, -100.0);
    problem.upper = VectorXd::Constant(1, 100.0);
    problem.prior = VectorXd::Zero(1);
    problem.prior_deviation = VectorXd::Constant(1, infinity);
    problem.step = VectorXd::Constant(1, 1e-3);
    problem.residuals = [](const MatrixXd& x) {
        MatrixXd r(11, x.cols());
        for (Index k = 0; k < x.cols(); ++k) {
            for (Index i = 0; i < 11; ++i) {
                // Ten readings evenly from -1 to 1, one at 30.
                const double reading = i == 10 ? 30.0 : -1.0 + 2.0 * static_cast<double>(i) / 9.0;
                r(i, k) = reading - x(0, k);
            }
        }
        return r;
    };
    const auto result = plenair::solve_least_squares(problem);
    CHECK(std::abs(result.x[0]) < 0.5);
    CHECK(result.weights[10] < 0.1);
}
