#include "cases/live/choose_one.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

namespace plenair::live {

namespace {

constexpr std::size_t stations = 11;
constexpr std::size_t most_certified = 8;  // steps from where previews led
// Of the loss: of two values that lose the same that with less spread is the better one.
constexpr double equal_loss = 1e-6;

class Search final {
public:
    Search(std::size_t values, std::size_t points, double target, const SolveOne& solve)
        : values_(values), points_(points), target_(target), solve_(solve) {}

    OneChoice run() {
        std::size_t stride = std::max<std::size_t>(1, (values_ - 1) / (stations - 1));
        for (std::size_t v = 0; v < values_; v += stride) {
            look(v);
        }
        look(values_ - 1);
        while (stride > 1) {
            const std::size_t finer = (stride + 2) / 3;
            const std::size_t at = best(previews_);
            const std::size_t low = at > stride ? at - stride : 0;
            for (std::size_t v = low; v <= std::min(at + stride, values_ - 1); v += finer) {
                look(v);
            }
            stride = finer;
        }
        return certify();
    }

private:
    using Designs = std::map<std::size_t, OneDesign>;

    void look(std::size_t value) {
        if (!previews_.contains(value)) {
            previews_[value] = solved(value, false);
        }
    }

    [[nodiscard]] OneDesign solved(std::size_t value, bool certified) const {
        OneDesign design{.value = value, .known = true};
        for (std::size_t p = 0; p < points_; ++p) {
            const SolveResult result = solve_(value, p, certified);
            if (!result.converged() || result.points.empty()) {
                return {.value = value};
            }
            const auto& point = result.points.front();
            if (point.spread > design.spread) {
                design.spread = point.spread;
                design.worst = p;
            }
            design.slot_loss +=
                point.slot_loss / point.source_pressure / static_cast<double>(points_);
        }
        return design;
    }

    [[nodiscard]] bool keeps(const OneDesign& design) const { return design.spread <= target_; }

    /// Whether a is the better one.
    [[nodiscard]] bool before(const OneDesign& a, const OneDesign& b) const {
        if (a.known != b.known) {
            return a.known;
        }
        if (keeps(a) != keeps(b)) {
            return keeps(a);
        }
        const bool by_loss = keeps(a) && std::abs(a.slot_loss - b.slot_loss) > equal_loss;
        return by_loss ? a.slot_loss < b.slot_loss : a.spread < b.spread;
    }

    [[nodiscard]] std::size_t best(const Designs& designs) const {
        return std::min_element(
                   designs.begin(),
                   designs.end(),
                   [this](const auto& a, const auto& b) { return before(a.second, b.second); })
            ->first;
    }

    /// Solves the best cold, as `plenair solve` does it, then its neighbours, until none is better.
    [[nodiscard]] OneChoice certify() {
        OneChoice choice;
        choice.solved = static_cast<int>(previews_.size());
        Designs certified;
        const auto certify = [&](std::size_t value) {
            if (!certified.contains(value)) {
                certified[value] = solved(value, true);
            }
        };
        certify(best(previews_));
        for (std::size_t tries = 0; tries < most_certified; ++tries) {
            const std::size_t at = best(certified);
            certify(at > 0 ? at - 1 : at);
            certify(std::min(at + 1, values_ - 1));
            if (best(certified) == at) {
                break;
            }
        }
        choice.best = certified.at(best(certified));
        choice.found = choice.best.known;
        choice.met = choice.found && keeps(choice.best);
        return choice;
    }

    std::size_t values_, points_;
    double target_;
    const SolveOne& solve_;
    Designs previews_;
};

}  // namespace

OneChoice choose_one(std::size_t values, std::size_t points, double target, const SolveOne& solve) {
    return Search(values, points, target, solve).run();
}

std::string choice_words(const OneChoice& choice,
                         const std::vector<std::string>& texts,
                         const std::vector<std::string>& points,
                         double target) {
    if (!choice.found) {
        return fmt::format(
            "No value between {} and {} has a result at every point.", texts.front(), texts.back());
    }
    const auto& best = choice.best;
    const std::string spread = fmt::format("{:.2f} %", percent(best.spread));
    const std::string goal = geometry::format_number(percent(target), 3) + " %";
    const std::string loss =
        best.slot_loss > 0
            ? fmt::format("; mean slot loss {:.2f} % of the pressure before the throttle",
                          percent(best.slot_loss))
            : "";
    std::string words =
        choice.met
            ? fmt::format("{} keeps the spread within {} at every point (largest {} at {}){}.",
                          texts.at(best.value),
                          goal,
                          spread,
                          points.at(best.worst),
                          loss)
            : fmt::format(
                  "No value between {} and {} keeps the spread within {} at every "
                  "point; {} comes nearest with {} at {}{}. What is left there, "
                  "plenair causes tells.",
                  texts.front(),
                  texts.back(),
                  goal,
                  texts.at(best.value),
                  spread,
                  points.at(best.worst),
                  loss);
    if (texts.size() > 1 && (best.value == 0 || best.value + 1 == texts.size())) {
        words += " It stands at the end of its track: beyond it there may be better.";
    }
    return words;
}

}  // namespace plenair::live
