#include "cases/file/build.hpp"
#include "cases/study/model_numbers.hpp"
#include "solver/laws/mouth.hpp"

#include <fmt/format.h>

namespace plenair::file {
namespace {

geometry::ParseOutcome length_of(const std::string& text) {
    return geometry::parse_quantity(text, Dimension::length);
}

void build_friction(const Scope& root, Model& model, Messages& messages) {
    const auto word = root.word("model.friction");
    const Value* given = root.good("model.friction");
    if (word == "off") {
        model.friction = Friction::off;
        return;
    }
    if (word == "smooth" || word.empty()) {
        model.friction = Friction::smooth;
        return;
    }
    constexpr std::string_view darcy = "darcy ";
    if (word.starts_with(darcy)) {
        const auto factor =
            geometry::parse_quantity(word.substr(darcy.size()), Dimension::none).value;
        if (!factor || *factor <= 0 || *factor > 1) {
            refuse(messages,
                   *given,
                   "the Darcy factor must be above 0 and at most 1; write e.g. "
                   "\"darcy 0.02\"");
        }
        model.friction = Friction::darcy;
        model.darcy = factor.value_or(0);
        return;
    }
    const auto roughness = length_of(word);
    if (!roughness.value || *roughness.value < 0) {
        refuse(messages,
               *given,
               "must be off, smooth, a roughness such as \"3.2 um\" or a factor such as \"darcy "
               "0.02\"");
    }
    model.friction = Friction::rough;
    model.roughness = roughness.value.value_or(0);
}

void build_cells(const Scope& root, Model& model, Messages& messages) {
    const auto word = root.word("model.cells");
    if (word == "certified" || word.empty()) {
        return;
    }
    // Refinement of the certified grid, in cells per length.
    constexpr double coarse = 0.5;
    constexpr double fine = 3;
    if (word == "coarse" || word == "fine") {
        model.refinement = word == "coarse" ? coarse : fine;
        return;
    }
    constexpr std::string_view largest = "largest cell ";
    const auto length = word.starts_with(largest) ? length_of(word.substr(largest.size()))
                                                  : geometry::ParseOutcome{};
    const double smallest_cell = geometry::from_unit(0.5, "mm");
    if (!length.value || *length.value < smallest_cell) {
        refuse(messages,
               *root.good("model.cells"),
               "must be certified, coarse, fine or a largest cell of at least 0.5 mm; write "
               "\"largest cell 10 mm\"");
        return;
    }
    model.largest_cell = length.value;
}

/// Second law at a dividing mouth: theta <= 1 + phi / 2.
void check_pair(const Scope& root, const Model& model, Messages& messages) {
    const Value* regain = root.find("model.regain");
    const Value* crossflow = root.find("model.crossflow_loss");
    if ((regain && !regain->good) || (crossflow && !crossflow->good)) {
        return;
    }
    const Value* at = regain ? regain : crossflow;
    if (at && !laws::regain_pair_allowed(model.regain, model.crossflow_loss)) {
        refuse(messages,
               *at,
               fmt::format("regain {} with crossflow_loss {} breaks the second law: it allows at "
                           "most 1 + crossflow_loss / 2 = {}; lower regain or raise crossflow_loss",
                           geometry::format_number(model.regain),
                           geometry::format_number(model.crossflow_loss),
                           geometry::format_number(laws::largest_regain(model.crossflow_loss))));
    }
}

}  // namespace

Model build_model(const Scope& root, Messages& messages) {
    Model model;
    for (const ModelNumber& number : model_numbers()) {
        if (number.member != nullptr) {
            model.*number.member = root.number(number.key);
        } else {
            model.*number.chosen = root.maybe(number.key);
        }
    }
    model.jet = root.flag("model.jet");
    model.mouth_law = root.word("model.mouth_law") == "tee" ? MouthLaw::tee : MouthLaw::lateral;
    model.slot_edge = root.word("model.slot_edge") == "sharp_exact" ? SlotEdge::sharp_exact
                                                                    : SlotEdge::correlation;
    model.slot_compressibility = root.flag("model.slot_compressibility");
    model.wall_heat = root.flag("model.wall_heat");
    model.courant = root.number("model.courant");
    model.tolerance = root.number("model.tolerance");
    model.max_cycles = static_cast<int>(root.number("model.max_cycles"));
    build_friction(root, model, messages);
    build_cells(root, model, messages);
    check_pair(root, model, messages);
    return model;
}

}  // namespace plenair::file
