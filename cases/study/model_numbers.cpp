#include "cases/study/model_numbers.hpp"

#include <charconv>
#include <string_view>

namespace plenair {

namespace {

constexpr ModelNumber numbers[] = {
    {.key = "model.regain",
     .member = &Model::regain,
     .low = ">= 0.5",
     .high = "<= 2",
     .band_low = "0.90",
     .band_high = "1.20",
     .fallback = "1.05",
     .example = "1.0",
     .doc = "Static regain theta where flow leaves a chamber; 1 is Bernoulli. Must not exceed 1 + "
            "crossflow_loss / 2 (second law).",
     .label = "regain",
     .least = 0.80,
     .most = 1.30,
     .matters = [](const PartKinds& has, const Model&) { return has.plenum || has.pre_chamber; }},
    {.key = "model.crossflow_loss",
     .member = &Model::crossflow_loss,
     .low = ">= 0",
     .high = "<= 2",
     .band_low = "0.6",
     .band_high = "1.0",
     .fallback = "0.90",
     .example = "0.9",
     .doc = "Loss phi of a runner mouth on the axial dynamic head of the plenum.",
     .label = "cross-flow loss",
     .least = 0.6,
     .most = 1.3,
     .matters = [](const PartKinds& has, const Model&) { return has.runner && has.plenum; }},
    {.key = "model.entry_loss",
     .chosen = &Model::entry_loss,
     .low = ">= 0",
     .high = "<= 3",
     .band_low = "0.03",
     .band_high = "1",
     .example = "0.05",
     .doc = "Entry loss of every mouth; without it from the bell radius."},
    {.key = "model.mixing_length",
     .member = &Model::mixing_length,
     .low = "> 0",
     .high = "<= 20",
     .band_low = "2.6",
     .band_high = "4.3",
     .fallback = "3.5",
     .example = "3.5",
     .doc = "Mixing length of the throttle jet in step heights.",
     .label = "mixing length",
     .least = 1.3,
     .most = 6.0,
     .matters = [](const PartKinds& has, const Model& model) { return has.throttle && model.jet; }},
};

double value_of(std::string_view text) {
    double value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

}  // namespace

PartKinds part_kinds(const geometry::Intake& intake) {
    PartKinds has;
    for (const auto& bank : intake.banks) {
        has.slot = has.slot || bank.slot;
        has.throttle = has.throttle || !bank.throttles.empty();
        has.runner = has.runner || !bank.runners.empty();
        has.plenum = has.plenum || bank.plenum;
        has.pre_chamber = has.pre_chamber || bank.pre_chamber;
    }
    return has;
}

std::span<const ModelNumber> model_numbers() {
    return numbers;
}

double band_low(const ModelNumber& number) {
    return value_of(number.band_low);
}

double band_high(const ModelNumber& number) {
    return value_of(number.band_high);
}

}  // namespace plenair
