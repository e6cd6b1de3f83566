#pragma once

#include "cases/study/check.hpp"
#include "geometry/intake.hpp"
#include "solver/network/model.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// Numbers that follow from the dimensions alone, without solving for the air.
namespace plenair {
struct Case;
}

namespace plenair::study {

/// Adds numbers under the keys of one bank: "plenum.volume", or "left.plenum.volume" where there
/// are several banks, and their texts end in whose they are: "volume of the plenum, bank left".
class Sheet final {
public:
    Sheet(std::vector<DerivedNumber>& numbers, std::string prefix, const std::string& owner = "")
        : numbers_(numbers),
          prefix_(std::move(prefix)),
          owner_(owner.empty() ? owner : ", " + owner) {}
    void add(const std::string& key,
             const std::string& text,
             const std::string& unit,
             double value) {
        numbers_.push_back({prefix_ + key, text + owner_, unit, value});
    }

private:
    std::vector<DerivedNumber>& numbers_;
    std::string prefix_, owner_;
};

/// Reynolds number on hydraulic diameter at which `check` states the slot's coefficient.
inline constexpr double slot_reynolds = 1e5;

/// What the slot and the chamber before it make of each other on a steady bench.
struct Header {
    double cd = 0;  ///< area-weighted, incompressible, at slot_reynolds
    double effective_area = 0;  ///< Cd x slot area [m2]
    double feed_area = 0;  ///< section where the air enters [m2]
    double number = 0;  ///< m = sqrt(theta) Cd As/A of the most loaded arm
    double dynamic_heads = 0;  ///< slot pressure drop over dynamic head at the feed
    bool uniform = false;  ///< constant section, so that the closed form gives the spread
    double spread = 0;  ///< m tan(m/2), where uniform and m < pi/2
};

/// Cd x area of the slot, incompressible, at slot_reynolds: each stretch of a piece with the
/// coefficient of its own width, each hole with that of its own size [m2].
[[nodiscard]] double slot_effective_area(const geometry::Slot& slot, const Model& model);

/// Header of a bank with pre-chamber and slot. Feeds at one end load one arm with the whole slot, a
/// side feed two; feeds at several places share the slot by their number. Acrivos, Babcock,
/// Pigford, Chem. Eng. Sci. 10 (1959) 112-124; Bajura, J. Eng. Power 93 (1971) 7-12.
[[nodiscard]] Header header(const geometry::Bank& bank, const Model& model);

/// Numbers of crank and valves.
void add_engine(const geometry::Engine& engine, Sheet& sheet);

/// Duration, overlap and centrelines at the lifts of a cam card.
void add_cam_card(const geometry::Engine& engine, const geometry::OutputUnits& units, Sheet& sheet);

/// Mean charge temperature of the points, at which resonances are stated; 20 degC without points
/// [K].
[[nodiscard]] double resonance_temperature(const Case& c);

/// Resonances of the bank's runners and chambers in dry air at rest, and the speeds at which the
/// engine's events meet them: quarter wave a/(4 (L + 0.82 r)), half wave a/(2 L) (Kinsler et al.
/// 2000, ch. 9 and 10), runner and cylinder a/(2 pi) sqrt(A/(L V)) with V = Vd/2 (rc + 1)/(rc - 1)
/// at 2.1 times the crank's frequency (Engelman 1973). Nothing without engine.
/// theory T64
void add_resonances(const geometry::Bank& bank, const Case& c, Sheet& sheet);

/// Numbers of throttle, chambers, slot and runners; `swept` is that of the bank's cylinders, 0
/// without engine [m3].
void add_bank(const geometry::Bank& bank, const Model& model, double swept, Sheet& sheet);

}  // namespace plenair::study
