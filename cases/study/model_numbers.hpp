#pragma once

#include "geometry/intake.hpp"
#include "solver/network/model.hpp"

#include <optional>
#include <span>

/// The numbers of the model's laws. The only list of them: their entries in a case file, their
/// bands, and what a fit may say of them are made from it.
namespace plenair {

/// Kinds of parts that an intake has.
struct PartKinds {
    bool slot = false, throttle = false, runner = false, plenum = false, pre_chamber = false;
};
[[nodiscard]] PartKinds part_kinds(const geometry::Intake& intake);

/// One coefficient of a law: no unit. Texts stand in the manual as they are written here.
struct ModelNumber {
    const char* key;  ///< entry of a case: "model.regain"
    double Model::*member = nullptr;  ///< where the entry has a default
    std::optional<double> Model::*chosen = nullptr;  ///< where it has none: in place of `member`
    const char *low, *high;  ///< limits of the entry, with their operators: ">= 0.5"
    const char *band_low, *band_high;  ///< ends of its 95 % band: "0.90" (docs/theory.md)
    const char* fallback = "";  ///< default: "1.05"
    const char* example;
    const char* doc;  ///< one sentence
    /// Of a coefficient that results depend on by itself: its name, the bounds that a fit does not
    /// cross, and where it can matter. Without a name another entry moves it.
    const char* label = nullptr;
    double least = 0, most = 0;
    bool (*matters)(const PartKinds&, const Model&) = nullptr;
};

/// In the order of the manual.
[[nodiscard]] std::span<const ModelNumber> model_numbers();

/// Ends of the band as numbers.
[[nodiscard]] double band_low(const ModelNumber& number);
[[nodiscard]] double band_high(const ModelNumber& number);

}  // namespace plenair
