#include "cases/study/choose_descent.hpp"

#include <nlopt.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <new>

namespace plenair::study {

namespace {

// As merit_of: one percent over a limit outweighs twenty of spread.
constexpr double penalty = 20;
constexpr int most_evaluations = 120;

/// Variables: the place; the largest of the objective's terms; the excess over each limit; an upper
/// and a lower bound of each range.
class Problem final {
public:
    Problem(const Surface& surface,
            const Goal& goal,
            const std::vector<PlaceLimit>& limits,
            std::size_t d)
        : surface_(surface), goal_(goal), limits_(limits), d_(d), excesses_(limits_of(goal)) {
        for (const auto& term : goal.objective.worst) {
            add(term, true);
        }
        for (const auto& term : goal.terms) {
            add(term, false);
        }
        rows_ += 2 * limits.size();
    }

    [[nodiscard]] std::size_t variables() const { return first_range() + 2 * ranges_; }
    [[nodiscard]] std::size_t rows() const { return rows_; }
    [[nodiscard]] std::size_t largest() const { return d_; }
    [[nodiscard]] std::size_t first_excess() const { return d_ + 1; }
    [[nodiscard]] std::size_t first_range() const { return first_excess() + excesses_; }

    /// A start that meets every constraint but those of the place.
    [[nodiscard]] std::vector<double> start(const std::vector<double>& place) const {
        std::vector<double> v(variables(), 0.0);
        std::copy(place.begin(), place.end(), v.begin());
        const Outputs y = surface_.at(place);
        for (const auto& piece : pieces_) {
            const double value = value_of(*piece.term, y) - piece.term->most;
            double& against = v[piece.against];
            against = std::max(against, value);
            if (is_range(*piece.term)) {
                double low = std::numeric_limits<double>::max(), high = -low;
                for (const std::size_t i : piece.term->outputs) {
                    low = std::min(low, y[i] / piece.term->scale);
                    high = std::max(high, y[i] / piece.term->scale);
                }
                v[piece.upper] = high;
                v[piece.upper + 1] = low;
            }
        }
        return v;
    }

    double objective(const double* v, double* slope) {
        look(v);
        double value = 0;
        for (std::size_t i = first_excess(); i < first_range(); ++i) {
            value += penalty * v[i];
        }
        if (!goal_.objective.worst.empty()) {
            value += v[largest()];
        }
        for (const auto& [output, weight] : goal_.objective.sum) {
            value += weight * y_[output];
        }
        if (slope != nullptr) {
            std::fill(slope, slope + variables(), 0.0);
            std::fill(slope + first_excess(), slope + first_range(), penalty);
            slope[largest()] = goal_.objective.worst.empty() ? 0 : 1;
            for (const auto& [output, weight] : goal_.objective.sum) {
                add_slope(slope, output, weight);
            }
        }
        return value;
    }

    void constraints(double* value, const double* v, double* slope) {
        look(v);
        if (slope != nullptr) {
            std::fill(slope, slope + rows_ * variables(), 0.0);
        }
        std::size_t row = 0;
        const auto next = [&] { return slope == nullptr ? nullptr : slope + row * variables(); };
        for (const auto& piece : pieces_) {
            is_range(*piece.term) ? range_rows(piece, v, value, next, row)
                                  : single_row(piece, v, value, next, row);
        }
        for (const auto& limit : limits_) {
            for (const double sign : {1.0, -1.0}) {
                double* s = next();
                value[row] = sign * (v[limit.first] - v[limit.second]) - limit.most;
                if (s != nullptr) {
                    s[limit.first] = sign;
                    s[limit.second] = -sign;
                }
                ++row;
            }
        }
    }

private:
    struct Piece {
        const Term* term = nullptr;
        std::size_t against = 0;  ///< variable that it may reach up to
        std::size_t upper = 0;  ///< variable of its upper bound; the lower one follows
    };

    void add(const Term& term, bool objective) {
        Piece piece{&term, objective ? largest() : first_excess() + term.limit};
        if (is_range(term)) {
            piece.upper = first_range() + 2 * ranges_;
            ++ranges_;
            rows_ += 2 * term.outputs.size() + 1;
        } else {
            ++rows_;
        }
        pieces_.push_back(piece);
    }

    void look(const double* v) {
        if (place_.size() == d_ && std::equal(place_.begin(), place_.end(), v)) {
            return;
        }
        place_.assign(v, v + d_);
        y_ = surface_.at(place_);
        gradient_ = surface_.gradient(place_);
    }

    void add_slope(double* slope, std::size_t output, double weight) const {
        for (std::size_t k = 0; k < d_; ++k) {
            slope[k] +=
                weight * gradient_(static_cast<Eigen::Index>(output), static_cast<Eigen::Index>(k));
        }
    }

    template <class Next>
    void range_rows(
        const Piece& piece, const double* v, double* value, const Next& next, std::size_t& row) {
        const Term& term = *piece.term;
        for (const std::size_t output : term.outputs) {
            for (const double sign : {1.0, -1.0}) {
                const std::size_t bound = piece.upper + (sign > 0 ? 0 : 1);
                double* s = next();
                value[row] = sign * (y_[output] / term.scale - v[bound]);
                if (s != nullptr) {
                    add_slope(s, output, sign / term.scale);
                    s[bound] = -sign;
                }
                ++row;
            }
        }
        double* s = next();
        value[row] = v[piece.upper] - v[piece.upper + 1] - v[piece.against] - term.most;
        if (s != nullptr) {
            s[piece.upper] = 1;
            s[piece.upper + 1] = -1;
            s[piece.against] = -1;
        }
        ++row;
    }

    template <class Next>
    void single_row(
        const Piece& piece, const double* v, double* value, const Next& next, std::size_t& row) {
        const Term& term = *piece.term;
        double* s = next();
        value[row] = value_of(term, y_) - v[piece.against] - term.most;
        if (s != nullptr) {
            for (std::size_t i = 0; i < term.outputs.size(); ++i) {
                const double weight = term.weights.empty() ? 1 : term.weights[i];
                add_slope(s, term.outputs[i], term.sign * weight / term.scale);
            }
            s[piece.against] = -1;
        }
        ++row;
    }

    const Surface& surface_;
    const Goal& goal_;
    const std::vector<PlaceLimit>& limits_;
    std::size_t d_, excesses_, ranges_ = 0, rows_ = 0;
    std::vector<Piece> pieces_;
    std::vector<double> place_;
    Outputs y_;
    Eigen::MatrixXd gradient_;
};

double objective_call(unsigned, const double* v, double* slope, void* problem) {
    return static_cast<Problem*>(problem)->objective(v, slope);
}

void constraints_call(
    unsigned, double* value, unsigned, const double* v, double* slope, void* problem) {
    static_cast<Problem*>(problem)->constraints(value, v, slope);
}

using Optimiser = std::unique_ptr<nlopt_opt_s, decltype(&nlopt_destroy)>;

/// NLopt says by a code that it lacks memory, and would end elsewhere with another answer.
void expect_memory(nlopt_result result) {
    if (result == NLOPT_OUT_OF_MEMORY) {
        throw std::bad_alloc();
    }
}

}  // namespace

std::vector<double> descend(const Surface& surface,
                            const Goal& goal,
                            const std::vector<PlaceLimit>& limits,
                            const Box& box,
                            std::vector<double> start) {
    const std::size_t d = start.size();
    for (std::size_t k = 0; k < d; ++k) {
        start[k] = std::clamp(start[k], box.low[k], box.high[k]);
    }
    Problem problem(surface, goal, limits, d);
    const auto n = static_cast<unsigned>(problem.variables());
    const Optimiser optimiser(nlopt_create(NLOPT_LD_SLSQP, n), &nlopt_destroy);
    expect_memory(optimiser ? NLOPT_SUCCESS : NLOPT_OUT_OF_MEMORY);
    std::vector<double> low(n, -HUGE_VAL), high(n, HUGE_VAL);
    std::copy(box.low.begin(), box.low.end(), low.begin());
    std::copy(box.high.begin(), box.high.end(), high.begin());
    for (std::size_t i = problem.first_excess(); i < problem.first_range(); ++i) {
        low[i] = 0;
    }
    expect_memory(nlopt_set_lower_bounds(optimiser.get(), low.data()));
    expect_memory(nlopt_set_upper_bounds(optimiser.get(), high.data()));
    expect_memory(nlopt_set_min_objective(optimiser.get(), objective_call, &problem));
    if (problem.rows() > 0) {
        const std::vector<double> slack(problem.rows(), 1e-6);
        expect_memory(nlopt_add_inequality_mconstraint(optimiser.get(),
                                                       static_cast<unsigned>(problem.rows()),
                                                       constraints_call,
                                                       &problem,
                                                       slack.data()));
    }
    nlopt_set_ftol_abs(optimiser.get(), 1e-6);
    expect_memory(nlopt_set_xtol_abs1(optimiser.get(), 1e-6));
    nlopt_set_maxeval(optimiser.get(), most_evaluations);
    std::vector<double> v = problem.start(start);
    double value = 0;
    // It may also stop where rounding ends it.
    expect_memory(nlopt_optimize(optimiser.get(), v.data(), &value));
    std::vector<double> place(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(d));
    for (std::size_t k = 0; k < d; ++k) {
        if (!std::isfinite(place[k])) {
            return start;
        }
        place[k] = std::clamp(place[k], box.low[k], box.high[k]);
    }
    return place;
}

}  // namespace plenair::study
