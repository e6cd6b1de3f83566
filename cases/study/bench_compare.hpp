#pragma once

#include "cases/study/entry.hpp"
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

struct GaugeItem {
    std::string entry, place;  ///< "station 3 (x 151.5 mm)", "runner 2"; empty where there is one
    double value = 0, drawn = 0, limit = 0, uncertainty = 0;  ///< [m]; limit 0: none stated
    std::string verdict;
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
/// @throws InputError where there is no such reading
[[nodiscard]] BenchComparison compare_with_bench(const Case& c, const Measured& measured);

/// What is predicted for a reading: of several banks its own stands alone on the bench.
[[nodiscard]] BenchResult predict(const Moved& v, const BenchReading& reading);

}  // namespace plenair
