#pragma once

#include "cases/study/entry.hpp"
#include "cases/study/measured.hpp"
#include "solver/march/start.hpp"

#include <Eigen/Core>

#include <map>
#include <string>
#include <vector>

/// What the model predicts for readings, for many values of its uncertain entries at once.
namespace plenair::study {

/// One point of the engine.
struct PointAnswer {
    std::vector<double> bias;  ///< by cylinder
    double air_flow = 0;  ///< [kg/s]
    double plenum_pressure = 0;  ///< mean [Pa]
};

struct Answer {
    bool good = true;
    std::string failure;
    std::vector<double> bench_flow;  ///< of each bench reading [kg/s]
    std::map<std::size_t, PointAnswer> points;  ///< by index in the case
};

/// The case as made: gauged sizes in place of the drawn ones, entries around them.
struct AsMade {
    Case c;
    std::vector<Entry> entries;  ///< bands narrowed by gauges
    std::vector<bool> gauged;  ///< of each entry
};

/// @param drawn  the case as its file says
[[nodiscard]] AsMade as_made(const Case& drawn, const Measured& measured);

/// What cylinders' own faults act upon at one point, of the case as made.
struct PointEffects {
    /// What a loss at the bends of the runner of each cylinder does to all biases, over that loss:
    /// [cylinder of the runner][cylinder].
    std::vector<std::vector<double>> runner;
    double plenum_pressure = 0;  ///< mean [Pa]
    std::vector<PressureProfile> pressures;  ///< along the chambers
};

class FitModel final {
public:
    /// @param made  kept by reference, as is `measured`
    FitModel(const AsMade& made, const Measured& measured, int threads);

    /// Values of the entries, one trial a column; at the bench readings and at `points`. Trials of
    /// one point run side by side in lanes; what was computed before is not computed again.
    [[nodiscard]] std::vector<Answer> evaluate(const Eigen::MatrixXd& values,
                                               const std::vector<std::size_t>& points);

    /// Computed once a point.
    [[nodiscard]] const PointEffects& effects(std::size_t point);

    /// The case as made with these values of its entries.
    [[nodiscard]] Moved moved(const std::vector<double>& values) const;

    /// The case as made at a point, with traces; not converged where it did not.
    [[nodiscard]] const PointResult& watched(std::size_t point);

    [[nodiscard]] int solutions() const { return solutions_; }

private:
    struct Start {
        plenair::Start end;
        double pressure_offset = 0;  ///< mean static pressure less source less losses [Pa]
        PointResult watched;  ///< with traces
    };
    void start_points(const std::vector<std::size_t>& points);
    void solve_at(std::size_t point,
                  const std::vector<std::vector<double>>& trials,
                  std::vector<PointAnswer>& answers,
                  std::vector<std::string>& failures);

    const AsMade& made_;
    const Measured& measured_;
    int threads_;
    std::map<std::size_t, Start> starts_;
    std::map<std::size_t, PointEffects> effects_;
    std::map<std::pair<std::size_t, std::vector<double>>, PointAnswer> known_;
    std::map<std::vector<double>, std::vector<double>> known_bench_;
    int solutions_ = 0;
};

}  // namespace plenair::study
