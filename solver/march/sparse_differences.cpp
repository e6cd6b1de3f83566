#include "solver/march/sparse_differences.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <utility>

namespace plenair {

namespace {

// A pattern that misses entries of less than this part of their row, or of the largest row, serves
// all the same: where flow is about to turn, squares of the move are more than that.
constexpr double negligible = 1e-3;
constexpr double nought = 1e-4;

std::size_t index(Eigen::Index i) {
    return static_cast<std::size_t>(i);
}

/// +1 or -1, the same for a column in every run.
double sign_of(Eigen::Index column) {
    auto bits = static_cast<std::uint64_t>(column) + 1;
    bits *= 0x9e3779b97f4a7c15ULL;
    return (bits >> 40U) % 2 == 0 ? 1.0 : -1.0;
}

}  // namespace

const Eigen::SparseMatrix<double>& SparseDifferences::forward(const Function& function,
                                                              const Eigen::VectorXd& at_x,
                                                              double width) {
    form(
        [&](const Eigen::VectorXd& move) {
            Eigen::VectorXd moved(at_x.size());
            function(move, moved);
            return Eigen::VectorXd(moved - at_x);
        },
        Eigen::VectorXd::Constant(at_x.size(), width));
    return jacobian_;
}

const Eigen::SparseMatrix<double>& SparseDifferences::central(const Function& function,
                                                              const Eigen::VectorXd& width) {
    form(
        [&](const Eigen::VectorXd& move) {
            Eigen::VectorXd high(width.size());
            Eigen::VectorXd low(width.size());
            function(move, high);
            function(-move, low);
            return Eigen::VectorXd(0.5 * (high - low));
        },
        width);
    return jacobian_;
}

void SparseDifferences::form(const Difference& difference, const Eigen::VectorXd& width) {
    const auto size = static_cast<Eigen::Index>(rows_.size());
    jacobian_.resize(size, size);
    if (!colour_.empty() && !std::exchange(check_pattern_, false)) {
        by_colours(difference, width);
        if (holds(difference, width)) {
            return;
        }
    }
    by_columns(difference, width);
    colour();
}

void SparseDifferences::by_columns(const Difference& difference, const Eigen::VectorXd& width) {
    constexpr Eigen::Index guess = 24;  // entries of a column: seven cells of three unknowns, ends
    const auto size = static_cast<Eigen::Index>(rows_.size());
    jacobian_.resize(size, size);
    jacobian_.reserve(guess * size);
    Eigen::VectorXd move = Eigen::VectorXd::Zero(size);
    for (Eigen::Index j = 0; j < size; ++j) {
        move[j] = width[j];
        const Eigen::VectorXd column = difference(move);
        move[j] = 0.0;
        jacobian_.startVec(j);
        std::vector<int> found;
        for (Eigen::Index i = 0; i < size; ++i) {
            // The diagonal stands there even where it is nought.
            if (column[i] != 0.0 || i == j) {
                jacobian_.insertBack(i, j) = column[i] / width[j];
                found.push_back(static_cast<int>(i));
            }
        }
        auto& known = rows_[index(j)];
        std::vector<int> all;
        std::set_union(
            known.begin(), known.end(), found.begin(), found.end(), std::back_inserter(all));
        known = std::move(all);
    }
    jacobian_.finalize();
}

void SparseDifferences::by_colours(const Difference& difference, const Eigen::VectorXd& width) {
    const auto size = static_cast<Eigen::Index>(rows_.size());
    std::vector<Eigen::VectorXd> of_colour;
    Eigen::VectorXd move(size);
    for (int c = 0; c < colours_; ++c) {
        for (Eigen::Index j = 0; j < size; ++j) {
            move[j] = colour_[index(j)] == c ? width[j] : 0.0;
        }
        of_colour.push_back(difference(move));
    }
    Eigen::Index entries = 0;
    for (const auto& rows : rows_) {
        entries += static_cast<Eigen::Index>(rows.size());
    }
    jacobian_.reserve(entries);
    for (Eigen::Index j = 0; j < size; ++j) {
        jacobian_.startVec(j);
        const Eigen::VectorXd& moved = of_colour[index(colour_[index(j)])];
        for (const int i : rows_[index(j)]) {
            if (moved[i] != 0.0 || i == j) {
                jacobian_.insertBack(i, j) = moved[i] / width[j];
            }
        }
    }
    jacobian_.finalize();
}

/// Whether it foretells what a move of all unknowns does.
bool SparseDifferences::holds(const Difference& difference, const Eigen::VectorXd& width) const {
    const auto size = static_cast<Eigen::Index>(rows_.size());
    Eigen::VectorXd move(size);
    for (Eigen::Index j = 0; j < size; ++j) {
        move[j] = sign_of(j) * width[j];
    }
    const Eigen::VectorXd measured = difference(move);
    Eigen::VectorXd foretold = Eigen::VectorXd::Zero(size);
    Eigen::VectorXd largest = Eigen::VectorXd::Zero(size);
    for (Eigen::Index j = 0; j < size; ++j) {
        for (Eigen::SparseMatrix<double>::InnerIterator entry(jacobian_, j); entry; ++entry) {
            foretold[entry.row()] += entry.value() * move[j];
            largest[entry.row()] += std::abs(entry.value() * move[j]);
        }
    }
    const double floor = nought * largest.maxCoeff();
    for (Eigen::Index i = 0; i < size; ++i) {
        const double allowed = std::max(negligible * largest[i], floor);
        if (!(std::abs(measured[i] - foretold[i]) <= allowed)) {  // NaN too
            return false;
        }
    }
    return true;
}

/// Greedy, in the order of the columns.
void SparseDifferences::colour() {
    std::vector<std::vector<int>> columns_of(rows_.size());
    for (std::size_t j = 0; j < rows_.size(); ++j) {
        for (const int i : rows_[j]) {
            columns_of[static_cast<std::size_t>(i)].push_back(static_cast<int>(j));
        }
    }
    colour_.assign(rows_.size(), -1);
    colours_ = 0;
    std::vector<int> taken_by;  // the column that has barred this colour
    for (std::size_t j = 0; j < rows_.size(); ++j) {
        for (const int i : rows_[j]) {
            for (const int other : columns_of[static_cast<std::size_t>(i)]) {
                const int c = colour_[static_cast<std::size_t>(other)];
                if (c >= 0) {
                    taken_by[static_cast<std::size_t>(c)] = static_cast<int>(j);
                }
            }
        }
        const auto free = std::find_if(
            taken_by.begin(), taken_by.end(), [&](int by) { return by != static_cast<int>(j); });
        const auto c = free - taken_by.begin();
        if (free == taken_by.end()) {
            taken_by.push_back(-1);
        }
        colour_[j] = static_cast<int>(c);
        colours_ = std::max(colours_, static_cast<int>(c) + 1);
    }
}

}  // namespace plenair
