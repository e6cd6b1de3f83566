#pragma once

#include "cases/study/assumption.hpp"
#include "cases/study/curve.hpp"
#include "cases/study/fuel.hpp"
#include "cases/study/injection.hpp"
#include "cases/study/learned.hpp"
#include "cases/study/nitrous.hpp"
#include "geometry/intake.hpp"
#include "geometry/output_units.hpp"
#include "solver/network/model.hpp"
#include "solver/network/point.hpp"

#include <optional>
#include <string>
#include <vector>

namespace plenair {

/// Everything a case file says, in SI units. Made by cases/file, read by the studies.
struct Case {
    std::string path;  ///< as given on the command line
    std::string text;  ///< the file itself, after --set
    std::string digest;  ///< "sha256:..." of the normalised entries
    std::string title;
    geometry::OutputUnits units;  ///< in which people read what comes of it
    std::vector<std::string> warnings;  ///< legal but unusual entries, with place
    std::vector<std::string> echo;  ///< every entry normalised, "slot.width = 6 mm (0.2362 in)"
    std::vector<Assumption> assumed;  ///< entries that nobody has confirmed, in file order
    bool has_engine = false;
    geometry::Engine engine;
    geometry::Intake intake;
    Model model;
    std::vector<OperatingPoint> points;  ///< those of [[point]], then those of each curve
    std::vector<SpeedCurve> curves;
    std::vector<BenchSettings> bench;
    Fuel fuel;
    std::optional<Injection> injection;
    std::optional<Nitrous> nitrous;
    double barometer = 101325;  ///< [Pa]
    double port_scatter = 0.01;  ///< of effective valve areas among cylinders, half width [-]
    double reference_density = 0;  ///< for CFM, 0: that of the room air
    std::vector<LearnedEntry> learned;  ///< their values are in the parts and the model already
};

}  // namespace plenair
