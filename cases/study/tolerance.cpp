#include "cases/study/tolerance.hpp"

#include "cases/base/statistics.hpp"
#include "cases/study/entry.hpp"
#include "cases/study/sobol_indices.hpp"
#include "cases/study/solve.hpp"
#include "cases/study/tolerance_surface.hpp"
#include "cases/study/tolerance_words.hpp"
#include "geometry/contract.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>
#include <tuple>

namespace plenair {

namespace {

using namespace study;
using Deviations = std::vector<double>;

constexpr double step_of_shop = 5e-5;  // 0.05 mm, in which costs are told [m]
constexpr std::size_t checks = 64;
constexpr std::size_t index_samples = 4096;

/// The question from its plan to its answer.
class Study final {
public:
    Study(const TolerancePlan& plan, const ToleranceOptions& options)
        : plan_(plan),
          options_(options),
          metal_(plan.dimensions.size()),
          coefficients_(plan.coefficients ? coefficients(plan.base) : std::vector<Entry>{}),
          inputs_(metal_ + coefficients_.size()) {}

    ToleranceResult answer();

private:
    void solve_drawn();
    void solve_surface();
    void add_effects();
    void draw_parts();
    void find_corner();
    void add_indices();
    void add_proposals();
    [[nodiscard]] double spread_of(const Outputs& y, std::size_t* where = nullptr) const;
    [[nodiscard]] double loss_of(const Outputs& y) const;
    [[nodiscard]] double air_of(const Outputs& y) const;
    [[nodiscard]] std::string name_of(std::size_t input) const;
    [[nodiscard]] std::vector<Deviations> draw(std::size_t count,
                                               bool model,
                                               std::uint64_t seed) const;
    /// Dimensions by the entry of [tolerance] that limits them.
    [[nodiscard]] std::vector<std::vector<std::size_t>> entries() const;
    [[nodiscard]] double share_with(const std::vector<std::size_t>& inputs, double limit) const;
    [[nodiscard]] double deviation_at(std::size_t input, double uniform) const;

    const TolerancePlan& plan_;
    const ToleranceOptions& options_;
    std::size_t metal_;
    std::vector<Entry> coefficients_;
    std::size_t inputs_;
    OutputMap map_{0, 0};
    std::size_t cylinders_ = 0;
    Outputs drawn_;
    std::vector<Outputs> low_, high_;
    std::optional<ToleranceSurface> surface_;
    ToleranceResult result_;
};

void Study::solve_drawn() {
    SolveOptions solve_options;
    solve_options.threads = options_.threads;
    solve_options.refine_curves = false;
    result_.drawn = solve(plan_.base, solve_options).points;
    for (const auto& point : result_.drawn) {
        if (!point.converged) {
            throw InputError({fmt::format("{}: the case as drawn has no result at {}: {}",
                                          plan_.base.path,
                                          point.name,
                                          point.failure)});
        }
    }
    cylinders_ = result_.drawn.front().cylinders.size();
    map_ = OutputMap(result_.drawn.size(), cylinders_);
    result_.drawn_spread = spread_of(outputs_of(result_.drawn));
}

double Study::spread_of(const Outputs& y, std::size_t* where) const {
    double worst = 0;
    for (std::size_t p = 0; p < result_.drawn.size(); ++p) {
        double low = y[map_.bias(p, 0)], high = low;
        for (std::size_t c = 1; c < cylinders_; ++c) {
            low = std::min(low, y[map_.bias(p, c)]);
            high = std::max(high, y[map_.bias(p, c)]);
        }
        if (high - low > worst) {
            worst = high - low;
            if (where != nullptr) {
                *where = p;
            }
        }
    }
    return worst;
}

double Study::loss_of(const Outputs& y) const {
    double sum = 0;
    for (std::size_t p = 0; p < result_.drawn.size(); ++p) {
        sum += y[map_.slot_loss(p)] / result_.drawn[p].source_pressure;
    }
    return sum / static_cast<double>(result_.drawn.size());
}

double Study::air_of(const Outputs& y) const {
    double sum = 0;
    for (std::size_t p = 0; p < result_.drawn.size(); ++p) {
        sum += y[map_.air(p)];
    }
    return sum;
}

std::string Study::name_of(std::size_t input) const {
    return input < metal_ ? plan_.dimensions[input].key : coefficients_[input - metal_].label;
}

void Study::solve_surface() {
    // The drawn part, every input at both limits, and a few parts at random to judge by.
    std::vector<Deviations> parts{Deviations(inputs_, 0.0)};
    for (std::size_t k = 0; k < inputs_; ++k) {
        for (const double end : {-1.0, 1.0}) {
            parts.emplace_back(inputs_, 0.0).at(k) = end;
        }
    }
    // Engines of their own share no lanes: the valve's coefficient stays out of the random ones.
    auto random = draw(checks, true, plan_.seed + 1);
    for (auto& part : random) {
        for (std::size_t k = metal_; k < inputs_; ++k) {
            part[k] = coefficients_[k - metal_].uses_engine ? 0 : part[k];
        }
        parts.push_back(part);
    }
    const auto outputs = solve_parts(plan_, parts, options_);
    result_.solved += parts.size();
    drawn_ = outputs.front();
    for (std::size_t k = 0; k < inputs_; ++k) {
        for (const std::size_t end : {0u, 1u}) {
            const Outputs& y = outputs[1 + 2 * k + end];
            if (y.size() != drawn_.size() || y.empty()) {
                throw InputError({fmt::format(
                    "{}: with {} at its {} limit there is no result; a smaller tolerance would say "
                    "more",
                    plan_.base.path,
                    name_of(k),
                    end == 0 ? "lower" : "upper")});
            }
            (end == 0 ? low_ : high_).push_back(y);
        }
    }
    surface_.emplace(drawn_, low_, high_);
    double squares = 0;
    Outputs y;
    for (std::size_t i = 0; i < checks; ++i) {
        const Outputs& solved = outputs[1 + 2 * inputs_ + i];
        if (solved.empty()) {
            continue;
        }
        surface_->at(random[i], y);
        const double error = spread_of(y) - spread_of(solved);
        squares += error * error;
        result_.surface_worst = std::max(result_.surface_worst, std::abs(error));
        ++result_.checked;
    }
    result_.surface_error =
        result_.checked > 0 ? std::sqrt(squares / static_cast<double>(result_.checked)) : 0;
}

void Study::add_effects() {
    const double spread = spread_of(drawn_), loss = loss_of(drawn_), air = air_of(drawn_);
    for (std::size_t k = 0; k < inputs_; ++k) {
        InputEffect effect;
        effect.key = name_of(k);
        effect.metal = k < metal_;
        effect.source = effect.metal ? plan_.dimensions[k].source : "band of the model";
        effect.limit = effect.metal ? plan_.dimensions[k].limit : 1;
        effect.spread_low = spread_of(low_[k]) - spread;
        effect.spread_high = spread_of(high_[k]) - spread;
        effect.loss_low = loss_of(low_[k]) - loss;
        effect.loss_high = loss_of(high_[k]) - loss;
        effect.air_low = air_of(low_[k]) / air - 1;
        effect.air_high = air_of(high_[k]) / air - 1;
        if (effect.metal) {
            Outputs y;
            Deviations part(inputs_, 0.0);
            for (const double sign : {-1.0, 1.0}) {
                part[k] = sign * step_of_shop / effect.limit;
                surface_->at(part, y);
                effect.spread_per_step = std::max(effect.spread_per_step, spread_of(y) - spread);
            }
        }
        for (std::size_t p = 0; p < result_.drawn.size(); ++p) {
            for (std::size_t c = 0; c < cylinders_; ++c) {
                const std::size_t i = map_.bias(p, c);
                effect.largest_share = std::max({effect.largest_share,
                                                 std::abs(low_[k][i] - drawn_[i]),
                                                 std::abs(high_[k][i] - drawn_[i])});
            }
        }
        result_.effects.push_back(std::move(effect));
    }
}

/// Metal is anywhere between its limits alike; a band of the model is 95 % of a normal
/// distribution.
double Study::deviation_at(std::size_t input, double uniform) const {
    if (input < metal_) {
        return 2 * uniform - 1;
    }
    constexpr double least = 1e-6;
    return normal_quantile(std::clamp(uniform, least, 1 - least)) / normal95;
}

std::vector<Deviations> Study::draw(std::size_t count, bool model, std::uint64_t seed) const {
    std::mt19937_64 random(seed);
    std::vector<Deviations> parts(count, Deviations(inputs_, 0.0));
    for (auto& part : parts) {
        for (std::size_t k = 0; k < inputs_; ++k) {
            // The same bits from every library: a uniform number of the top 53 of 64.
            const double uniform = std::ldexp(static_cast<double>(random() >> 11), -53);
            part[k] = k < metal_ || model ? deviation_at(k, uniform) : 0;
        }
    }
    return parts;
}

void Study::draw_parts() {
    const double target = plan_.target;
    std::vector<double> spreads;
    std::size_t good = 0, good_with_model = 0;
    Outputs y;
    // Block by block, so that memory does not grow with the parts.
    constexpr std::size_t block = 256;
    for (std::size_t first = 0; first < plan_.parts; first += block) {
        if (options_.stop != nullptr && options_.stop->load()) {
            return;
        }
        const std::size_t count = std::min(block, plan_.parts - first);
        auto parts = draw(count, true, plan_.seed + 1000 + first / block);
        auto bare = parts;
        for (auto& part : bare) {
            std::fill(part.begin() + static_cast<std::ptrdiff_t>(metal_), part.end(), 0.0);
        }
        const auto solved =
            plan_.direct ? solve_parts(plan_, bare, options_) : std::vector<Outputs>{};
        result_.solved += solved.size();
        for (std::size_t i = 0; i < count; ++i) {
            if (plan_.direct && !solved[i].empty()) {
                y = solved[i];
            } else {
                surface_->at(bare[i], y);
            }
            const double spread = spread_of(y);
            good += spread <= target ? 1 : 0;
            spreads.push_back(spread);
            surface_->at(parts[i], y);
            good_with_model += spread_of(y) <= target ? 1 : 0;
        }
        if (options_.progress) {
            options_.progress(static_cast<int>(first + count), static_cast<int>(plan_.parts));
        }
    }
    result_.metal = odds_of(good, plan_.parts);
    result_.with_model = odds_of(good_with_model, plan_.parts);
    const auto at = spreads.begin() +
                    static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(spreads.size() - 1));
    std::nth_element(spreads.begin(), at, spreads.end());
    result_.spread_95 = *at;
}

/// The difference of two biases is a sum over the inputs, so its largest value has each input at
/// one of its limits, or at none of them where that is worst.
void Study::find_corner() {
    Deviations best(inputs_, 0.0);
    double worst = -1;
    std::vector<Deviations> corners;
    for (std::size_t p = 0; p < result_.drawn.size(); ++p) {
        for (std::size_t a = 0; a < cylinders_; ++a) {
            for (std::size_t b = 0; b < cylinders_; ++b) {
                const std::size_t i = map_.bias(p, a), j = map_.bias(p, b);
                if (a == b) {
                    continue;
                }
                Deviations corner(inputs_, 0.0);
                double difference = drawn_[i] - drawn_[j];
                for (std::size_t k = 0; k < metal_; ++k) {
                    const double up = high_[k][i] - high_[k][j] - (drawn_[i] - drawn_[j]);
                    const double down = low_[k][i] - low_[k][j] - (drawn_[i] - drawn_[j]);
                    corner[k] = std::max(up, down) <= 0 ? 0 : up > down ? 1 : -1;
                    difference += std::max({up, down, 0.0});
                }
                if (difference > worst) {
                    worst = difference;
                    best = corner;
                }
            }
        }
    }
    const auto solved = solve_parts(plan_, {best}, options_);
    result_.solved += 1;
    std::size_t where = 0;
    Outputs y = solved.front();
    if (y.empty()) {
        surface_->at(best, y);
    }
    result_.corner_spread = spread_of(y, &where);
    result_.corner_at = result_.drawn[where].name;
    for (std::size_t k = 0; k < metal_; ++k) {
        result_.corner.push_back(best[k] * plan_.dimensions[k].limit);
    }
}

void Study::add_indices() {
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t k = 0; k < inputs_; ++k) {
        groups.push_back({k});
    }
    std::vector<std::size_t> metal(metal_), model(inputs_ - metal_);
    std::iota(metal.begin(), metal.end(), std::size_t{0});
    std::iota(model.begin(), model.end(), metal_);
    groups.push_back(metal);
    groups.push_back(model);
    Outputs y;
    Deviations part(inputs_);
    const auto indices =
        sensitivity_indices(inputs_, groups, index_samples, plan_.seed, [&](const auto& uniform) {
            for (std::size_t k = 0; k < inputs_; ++k) {
                part[k] = deviation_at(k, uniform[k]);
            }
            surface_->at(part, y);
            return spread_of(y);
        });
    for (std::size_t k = 0; k < inputs_; ++k) {
        result_.effects[k].first = indices.first[k];
        result_.effects[k].total = indices.total[k];
    }
    result_.metal_first = indices.first[inputs_];
    result_.metal_total = indices.total[inputs_];
    result_.model_first = indices.first[inputs_ + 1];
    result_.model_total = indices.total[inputs_ + 1];
    result_.spread_mean = indices.mean;
    result_.spread_deviation = std::sqrt(std::max(0.0, indices.variance));
}

std::vector<std::vector<std::size_t>> Study::entries() const {
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t k = 0; k < metal_; ++k) {
        const auto found = std::find_if(groups.begin(), groups.end(), [&](const auto& group) {
            return plan_.dimensions[group.front()].entry == plan_.dimensions[k].entry;
        });
        if (found == groups.end()) {
            groups.push_back({k});
        } else {
            found->push_back(k);
        }
    }
    return groups;
}

/// Share of good parts with one limit for all of `inputs` [m], on the surface; none: as they are.
double Study::share_with(const std::vector<std::size_t>& inputs, double limit) const {
    constexpr std::size_t count = 2000;
    auto parts = draw(std::min(count, plan_.parts), false, plan_.seed + 1000);
    std::size_t good = 0;
    Outputs y;
    for (auto& part : parts) {
        for (const std::size_t k : inputs) {
            part[k] *= limit / plan_.dimensions[k].limit;
        }
        surface_->at(part, y);
        good += spread_of(y) <= plan_.target ? 1 : 0;
    }
    return static_cast<double>(good) / static_cast<double>(parts.size());
}

void Study::add_proposals() {
    if (plan_.one_part) {
        return;  // a finished part has no limits to choose
    }
    // Where the drawn part misses the target no limit brings parts there, and odds say nothing.
    const bool odds = result_.drawn_spread <= plan_.target;
    constexpr double nothing = 0.005;  // of the odds: half a part in a hundred
    const double now = odds ? share_with({}, 0) : 0;
    // Against all parts that were drawn: what a limit changes is known better than a share of few.
    const auto against_all = [&](double share) {
        return std::clamp(result_.metal.share + share - now, 0.0, 1.0);
    };
    const auto groups = entries();
    double most = 0;
    const std::vector<std::size_t>* first = nullptr;
    for (const auto& group : groups) {
        double limit = 0, cost = 0;
        for (const std::size_t k : group) {
            const InputEffect& effect = result_.effects[k];
            limit = std::max(limit, effect.limit);
            cost = std::max({cost, effect.spread_low, effect.spread_high});
        }
        const double open = odds ? share_with(group, 2 * limit) : 0;
        const double closed = odds ? share_with(group, 0.5 * limit) : 0;
        for (const std::size_t k : group) {
            InputEffect& effect = result_.effects[k];
            effect.entry = plan_.dimensions[k].entry;
            effect.entry_limit = limit;
            if (odds) {
                effect.odds_open = against_all(open);
                effect.odds_closed = against_all(closed);
            }
            // Where all or no part is good the odds say nothing: the spread decides.
            if (open >= now - nothing && cost < 2e-4) {
                effect.proposal = "may be opened";
            }
        }
        const double gain = closed - now;
        if (gain > std::max(most, nothing)) {
            most = gain;
            first = &group;
        }
    }
    if (first != nullptr) {
        for (const std::size_t k : *first) {
            result_.effects[k].proposal = "close first";
        }
    }
}

ToleranceResult Study::answer() {
    if (metal_ == 0) {
        throw InputError({plan_.base.path +
                          ": no dimension of the case has a tolerance; write e.g. [tolerance] and "
                          "\"slot.width\" = \"0.05 mm\""});
    }
    result_.title = plan_.base.title;
    result_.case_digest = plan_.base.digest;
    result_.case_text = plan_.base.text;
    result_.units = plan_.base.units;
    result_.target = plan_.target;
    result_.parts = plan_.parts;
    result_.seed = plan_.seed;
    result_.direct = plan_.direct;
    result_.left_out = plan_.left_out;
    result_.one_part = plan_.one_part;
    solve_drawn();
    solve_surface();
    add_effects();
    draw_parts();
    find_corner();
    add_indices();
    add_proposals();
    add_sentences(result_);
    return std::move(result_);
}

}  // namespace

Odds odds_of(std::size_t good, std::size_t parts) {
    PLENAIR_EXPECT(good <= parts);
    Odds odds;
    odds.parts = parts;
    odds.good = good;
    if (parts == 0) {
        return odds;
    }
    odds.share = static_cast<double>(good) / static_cast<double>(parts);
    std::tie(odds.low, odds.high) = probability_interval(good, parts);
    return odds;
}

ToleranceResult tolerance(const TolerancePlan& plan, const ToleranceOptions& options) {
    return Study(plan, options).answer();
}

}  // namespace plenair
