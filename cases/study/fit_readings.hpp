#pragma once

#include "cases/study/fit_model.hpp"

#include <Eigen/Core>

#include <string>
#include <vector>

/// Readings and unknowns of a fit as plain vectors.
namespace plenair::study {

/// What a cylinder may do beside the model.
enum class Quirk { runner, injector, sensor, leak };

/// How much of it is usual (95 %, common practice): matched injectors 0.5 %, ports and runners 0.5
/// % of air, sensors 0.003, leaks 0.1 % of air; the mixture of all cylinders 5 %.
inline constexpr double usual_runner = 0.005;
inline constexpr double usual_injector = 0.005;
inline constexpr double usual_sensor = 0.003;
inline constexpr double usual_leak = 0.001;
inline constexpr double usual_mixture = 0.05;
/// Exhaust temperature per lambda on the rich side: 5 to 10 degC per 0.01 [K].
inline constexpr double exhaust_slope = 750;
/// Scatter of exhaust temperatures at equal mixture, one standard deviation [K].
inline constexpr double exhaust_scatter = 8;
/// Leaner than this the temperature falls again and is not used.
inline constexpr double exhaust_peak = 0.95;

/// What the quirks of cylinders do to the air at one point.
struct QuirkActs {
    /// On the bias of each cylinder by that of a runner, which is 1 where its own air is 1 more at
    /// the point of the case where it acts most: [cylinder of the runner][cylinder]. Of the case,
    /// not of those read: what those hardly see has no bound at the others.
    std::vector<std::vector<double>> runner;
    double leak = 0;  ///< on the air of its cylinder; 1 or -1 at the worst point of the case
};

/// Order of the unknowns: entries, four quirks of each cylinder, mixture and exhaust temperature of
/// each engine reading.
struct Unknowns {
    std::size_t entries = 0, cylinders = 0, points = 0;
    [[nodiscard]] Eigen::Index quirk(Quirk kind, std::size_t cylinder) const {
        return static_cast<Eigen::Index>(entries + static_cast<std::size_t>(kind) * cylinders +
                                         cylinder);
    }
    [[nodiscard]] Eigen::Index mixture(std::size_t point) const {
        return static_cast<Eigen::Index>(entries + 4 * cylinders + point);
    }
    [[nodiscard]] Eigen::Index temperature(std::size_t point) const {
        return static_cast<Eigen::Index>(entries + 4 * cylinders + points + point);
    }
    [[nodiscard]] Eigen::Index count() const {
        return static_cast<Eigen::Index>(entries + 4 * cylinders + 2 * points);
    }
};

enum class ReadingKind { bench, lambda, exhaust, air_flow, plenum_pressure };

struct Reading {
    ReadingKind kind = ReadingKind::bench;
    std::size_t index = 0;  ///< of the engine reading; of the bench among all its numbers
    std::size_t cylinder = 0;
    std::string name, unit;
    double value = 0, deviation = 1;  ///< SI
    bool positive = false;  ///< a flow or a pressure: of the size of its prediction, or a slip
};

/// Readings, unknowns with priors, and predictions of one fit.
class ReadingModel final {
public:
    /// @param effects  of each point of the case; not read where no engine reading is
    ReadingModel(const AsMade& made,
                 const Measured& measured,
                 const std::vector<PointEffects>& effects);

    [[nodiscard]] const Unknowns& unknowns() const { return unknowns_; }
    [[nodiscard]] const std::vector<Reading>& readings() const { return readings_; }
    [[nodiscard]] const Eigen::VectorXd& prior() const { return prior_; }
    [[nodiscard]] const Eigen::VectorXd& deviation() const { return deviation_; }
    /// For the analytic unknowns; those of the entries are the caller's.
    [[nodiscard]] const Eigen::VectorXd& step() const { return step_; }

    /// All readings as predicted, SI. @pre the answer misses none of the points read
    [[nodiscard]] Eigen::VectorXd predict(const Eigen::VectorXd& x, const Answer& answer) const;
    /// Reading less prediction over the reading's deviation.
    [[nodiscard]] Eigen::VectorXd residuals(const Eigen::VectorXd& x, const Answer& answer) const;
    /// Air of a cylinder over the mean - 1 at an engine reading, quirks included.
    [[nodiscard]] double air(const Eigen::VectorXd& x,
                             const Answer& answer,
                             std::size_t reading,
                             std::size_t cylinder) const;
    /// Lambda in the cylinder, without the sensor.
    [[nodiscard]] double lambda(const Eigen::VectorXd& x,
                                const Answer& answer,
                                std::size_t reading,
                                std::size_t cylinder) const;

    /// At any point of the case, read or not.
    [[nodiscard]] QuirkActs acts(std::size_t point, const PointEffects& effects) const;

private:
    void add_bench_readings();
    void add_readings();
    void set_priors();

    const AsMade& made_;
    const Measured& measured_;
    std::vector<double> runner_scale_;  ///< from a loss at the bends to a quirk, by cylinder
    double worst_leak_ = 0;  ///< of leak_flow, over the points of the case
    std::vector<QuirkActs> acts_;  ///< at each engine reading
    std::vector<double> tap_offset_;  ///< mean pressure at its tap less that of all plenums [Pa]
    Unknowns unknowns_;
    std::vector<Reading> readings_;
    Eigen::VectorXd prior_, deviation_, step_;
};

}  // namespace plenair::study
