#pragma once

#include "cases/study/as_made.hpp"
#include "cases/study/fit_expansion.hpp"
#include "solver/march/result.hpp"

#include <Eigen/Core>

#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <vector>

/// What the model predicts for readings, for many values of its uncertain entries at once.
namespace plenair::study {

/// What cylinders' own faults act upon at one point, of the case as made.
struct PointEffects {
    /// What a loss at the bends of the runner of each cylinder does to all biases, over that loss:
    /// [cylinder of the runner][cylinder]; 0 where it did not converge.
    std::vector<std::vector<double>> runner;
    double plenum_pressure = 0;  ///< mean [Pa]
    std::vector<PressureProfile> pressures;  ///< along the chambers
};

/// An answer that was solved, not expanded.
struct Solved {
    Eigen::VectorXd x;  ///< values of the entries
    Answer answer;
};

class FitModel final {
public:
    /// @param made  kept by reference, as is `measured`, of which the bench readings count
    FitModel(const AsMade& made, const Measured& measured, int threads);

    /// The answers at the bench readings and at all points of the case, near a centre; made once.
    /// @param near  where trials about the centre begin; null: at the case as made
    [[nodiscard]] const Expansion& expansion(const Eigen::VectorXd& centre,
                                             const Expansion* near = nullptr);

    /// Values of the entries, one trial a column, each from where its expansion says. Trials of one
    /// point run side by side in lanes.
    [[nodiscard]] std::vector<Answer> solve(const Eigen::MatrixXd& values,
                                            const std::vector<const Expansion*>& near);

    /// From now on solve() takes the bench from the expansions: for many fits of a bench whose
    /// expansion was seen to be exact.
    void trust_bench() { bench_trusted_ = true; }

    /// Remembers an answer, for other fits with this model.
    void keep(const Eigen::VectorXd& x, const Answer& answer);
    /// Of those kept the one whose entry farthest off, over `scale`, is nearest. The case as made
    /// is one of them.
    [[nodiscard]] const Solved& nearest(const Eigen::VectorXd& x, const Eigen::VectorXd& scale);

    /// Values of the entries as made.
    [[nodiscard]] Eigen::VectorXd values_as_made() const;

    /// Computed once for all points.
    [[nodiscard]] const PointEffects& effects(std::size_t point);

    /// The case as made with these values of its entries.
    [[nodiscard]] Moved moved(const Eigen::VectorXd& values) const;

    /// The case as made at a point, with traces; not converged where it did not.
    [[nodiscard]] const PointResult& watched(std::size_t point);

    [[nodiscard]] int solutions() const { return solutions_; }

private:
    struct Origin {
        Start end;
        double pressure_offset = 0;  ///< mean static pressure less source less losses [Pa]
        PointResult watched;  ///< with traces
    };
    void solve_origins();
    [[nodiscard]] Start start_of(std::size_t point,
                                 const Eigen::VectorXd& values,
                                 const Expansion* near) const;
    [[nodiscard]] std::vector<double> bench_of(const Eigen::VectorXd& values) const;
    /// For derivatives: single precision and the steps of the case as made.
    [[nodiscard]] std::vector<PointResult> solve_single(std::size_t point,
                                                        const Eigen::MatrixXd& values,
                                                        const Expansion* near,
                                                        std::vector<Start>& ends) const;
    [[nodiscard]] std::vector<PointResult> solve_at(
        std::size_t point,
        const Eigen::MatrixXd& values,
        const std::vector<const Expansion*>& near) const;
    [[nodiscard]] PointEffects effects_at(std::size_t point) const;
    void add(const PointResult& result, std::size_t point, Answer& answer) const;

    const AsMade& made_;
    const Measured& measured_;
    int threads_;
    std::vector<Origin> origins_;  ///< by point, once solved
    std::vector<PointEffects> effects_;  ///< by point, once computed
    std::map<std::vector<double>, std::unique_ptr<Expansion>> expansions_;
    std::vector<Solved> kept_;
    int solutions_ = 0;
    bool bench_trusted_ = false;
};

}  // namespace plenair::study
