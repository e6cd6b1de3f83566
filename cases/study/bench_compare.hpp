#pragma once

#include "cases/study/entry.hpp"
#include "cases/study/gauge_items.hpp"
#include "cases/study/measured.hpp"
#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"
#include "solver/march/result.hpp"

#include <optional>
#include <string>
#include <vector>

/// The part on the bench against its drawing.
namespace plenair {

struct Case;

/// One size that alone would make the prediction meet the reading.
struct Explanation {
    std::string entry;  ///< "slot.edge_radius"
    double drawn = 0, needed = 0;  ///< [m]
    bool within_limits = false;  ///< the shop's limits allow it
};

struct BenchItem {
    std::string name;
    bool computed = false;
    std::string failure;  ///< why the prediction could not be computed
    double depression = 0, density = 0;  ///< [Pa], [kg/m3]
    double flow_read = 0, leakage = 0, flow = 0;  ///< [kg/s]
    double reference_area = 0;  ///< [m2]
    double cd = 0, predicted_cd = 0;  ///< isentropic, on that area
    double predicted = 0;  ///< [kg/s]
    double difference = 0;  ///< reading over prediction - 1
    double reading_band = 0;  ///< relative, 95 %
    double size_band = 0;  ///< of the prediction from the shop's limits, relative
    double model_band = 0;  ///< of the prediction from the model's coefficients, relative
    std::string verdict;  ///< "as drawn", "3.6 % low"
    std::vector<Explanation> explanations;
    std::vector<std::string> remarks;  ///< sentences: what else would explain it, what is asked
};

struct BenchComparison {
    std::string title, case_digest, measured_title;
    bool made_up = false;
    geometry::OutputUnits units;
    std::vector<BenchItem> items;
    std::vector<GaugeItem> gauges;
    std::vector<std::string> defaults, warnings;
    std::string summary;  ///< one sentence
    [[nodiscard]] bool converged() const;
};

/// Every bench and gauge reading against what the drawing says.
/// @param limits  of sizes that the drawing itself gives none, as of the tolerance study
/// @throws InputError where there is no such reading
[[nodiscard]] BenchComparison compare_with_bench(
    const Case& c, const Measured& measured, const std::vector<ToleratedDimension>& limits = {});

/// What is predicted for a reading: of several banks its own stands alone on the bench.
[[nodiscard]] BenchResult predict(const Moved& v, const BenchReading& reading);

/// What an opening of the reference area passes at a Cd of 1 [kg/s].
[[nodiscard]] double ideal_flow(const BenchResult& predicted, const BenchReading& reading);

/// What is said of a reading above that.
inline constexpr const char* more_than_ideal =
    "no opening passes more than its ideal flow: check area, depression, leakage, and the density "
    "that the CFM refer to";

}  // namespace plenair
