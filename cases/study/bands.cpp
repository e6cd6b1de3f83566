#include "cases/study/bands.hpp"

#include "cases/study/entry.hpp"
#include "cases/study/verdict.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace plenair {

namespace {

// A band is read to a tenth of a percent: its points need not be as periodic as the answer itself.
constexpr double band_tolerance = 1e-4;

/// A moved case at its operating point.
struct Shifted {
    Moved parts;
    OperatingPoint point;
};

/// Solves each moved case, all side by side. They begin from `start`, the state of the point
/// itself, if it is given.
std::vector<PointResult> solve_all(const Case& c,
                                   std::vector<Shifted> moved,
                                   const std::vector<double>* start,
                                   int start_age) {
    std::vector<Variant> together;
    for (auto& [parts, at] : moved) {
        parts.model.tolerance = std::max(c.model.tolerance, band_tolerance);
        together.push_back({&parts.intake, &parts.model, &parts.engine, &at, {}, start, start_age});
    }
    return solve_ensemble(together, {});
}

Moved as_it_is(const Case& c) {
    return {c.model, c.intake, c.engine};
}

/// Every coefficient at the low end and at the high end of its band, in turn.
std::vector<Shifted> moved_ends(const Case& c,
                                const OperatingPoint& point,
                                const std::vector<Entry>& entries) {
    std::vector<Shifted> moved;
    for (const auto& entry : entries) {
        for (const bool high : {false, true}) {
            auto& shifted = moved.emplace_back(Shifted{as_it_is(c), point});
            entry.set(shifted.parts, high ? entry.high : entry.low);
        }
    }
    return moved;
}

/// An assumed entry that states a band.
struct AssumedBand {
    std::string name;
    std::array<std::optional<Shifted>, 2> ends;  ///< low, high; empty where it cannot be built
};

/// All of them, at `point` or at the point that has its place where the entry belongs to it.
std::vector<AssumedBand> assumed_bands(const Case& c, const OperatingPoint& point) {
    const auto own = std::find(c.points.begin(), c.points.end(), point);
    const auto place = static_cast<std::size_t>(own - c.points.begin());
    std::vector<AssumedBand> bands;
    for (const auto& assumption : c.assumed) {
        if (!assumption.end) {
            continue;
        }
        auto& band = bands.emplace_back(AssumedBand{"assumed " + assumption.key, {}});
        for (const std::size_t high : {0u, 1u}) {
            if (const auto end = assumption.end(high == 1)) {
                band.ends[high] = Shifted{as_it_is(*end),
                                          place < end->points.size() ? end->points[place] : point};
            }
        }
    }
    return bands;
}

std::string without(const std::string& what) {
    return "the band is without the " + what + ": it did not converge";
}

std::string end_of(const std::string& name, bool high) {
    return std::string(high ? "high" : "low") + " end of the " + name;
}

std::vector<double> over_mean(const std::vector<double>& flow) {
    double sum = 0;
    for (const double f : flow) {
        sum += f;
    }
    std::vector<double> ratio;
    for (const double f : flow) {
        ratio.push_back(f * static_cast<double>(flow.size()) / sum);
    }
    return ratio;
}

/// What a set-up says about shares: flow of its runners, else of its holes, else along its slot,
/// over the mean.
std::vector<double> shares(const BenchResult& r) {
    return over_mean(!r.flow_per_runner.empty() ? r.flow_per_runner
                     : !r.hole_flow.empty()     ? r.hole_flow
                                                : r.flow_per_length);
}

double largest_move(const std::vector<double>& a, const std::vector<double>& b) {
    double largest = 0;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        largest = std::max(largest, std::abs(a[i] - b[i]));
    }
    return largest;
}

}  // namespace

namespace {

std::vector<double> biases(const PointResult& r) {
    std::vector<double> bias;
    for (const auto& cylinder : r.cylinders) {
        bias.push_back(cylinder.bias);
    }
    return bias;
}

/// How far each number of a moved point lies from its own.
BandPart moves(const std::string& name, const PointResult& moved, const PointResult& nominal) {
    return {name,
            largest_move(biases(moved), biases(nominal)),
            nominal.air_flow != 0 ? std::abs(moved.air_flow / nominal.air_flow - 1) : 0,
            std::abs(moved.spread - nominal.spread),
            std::abs(moved.slot_loss - nominal.slot_loss)};
}

template <class Join>
void join(BandPart& into, const BandPart& part, Join&& of) {
    into.bias = of(into.bias, part.bias);
    into.air = of(into.air, part.air);
    into.spread = of(into.spread, part.spread);
    into.slot_loss = of(into.slot_loss, part.slot_loss);
}

/// Cells of twice the length, steps to match.
PointResult on_coarse_cells(const Case& c, const OperatingPoint& point) {
    Model model = coarse_model(c.model);
    model.tolerance = std::max(c.model.tolerance, band_tolerance);
    model.max_cycles = c.model.max_cycles;
    return solve_point(c.intake, c.engine, point, model, {});
}

/// What unequal ports and valves do to shares: each cylinder's air follows its own effective area
/// with the exponent with which all air follows all areas; the mean of N takes a part of it away.
BandPart scatter(const Case& c, const Entry& entry, const BandPart& valves, std::size_t cylinders) {
    const double shift = valve_shift(c, 0.5 * (entry.high - entry.low));
    BandPart part{.name = "scatter of ports and valves"};
    if (cylinders < 2 || shift <= 0) {
        return part;
    }
    const double exponent = valves.air / shift;
    const double count = static_cast<double>(cylinders);
    part.bias = exponent * c.port_scatter * std::sqrt(1 - 1 / count);
    // Largest less smallest moves with two of them.
    part.spread = exponent * c.port_scatter * std::sqrt(2.0);
    part.air = exponent * c.port_scatter / std::sqrt(count);
    return part;
}

/// Half width that holds 95 % where the answer is normal about its value, `normal` its own half
/// width, or about that moved by any of `shifts` together, each as likely as not.
double with_choices(double normal, const std::vector<double>& shifts) {
    constexpr double quantile = 1.96, held = 0.95;
    std::vector<double> sums{0.0};
    for (const double shift : shifts) {
        const std::size_t count = sums.size();
        for (std::size_t i = 0; i < count; ++i) {
            sums.push_back(sums[i] + shift);
        }
    }
    double farthest = 0;
    for (const double sum : sums) {
        farthest = std::max(farthest, std::abs(sum));
    }
    if (farthest == 0 || normal == 0) {
        return std::max(farthest, normal);
    }
    const double scale = quantile / (normal * std::sqrt(2.0));
    const auto inside = [&](double half) {
        double sum = 0;
        for (const double shift : sums) {
            sum += 0.5 * (std::erf((half - shift) * scale) + std::erf((half + shift) * scale));
        }
        return sum / static_cast<double>(sums.size());
    };
    double low = 0;
    double high = farthest + normal;  // holds 95 % of each
    constexpr int halvings = 40;
    for (int i = 0; i < halvings; ++i) {
        const double middle = 0.5 * (low + high);
        (inside(middle) < held ? low : high) = middle;
    }
    return high;
}

/// A coefficient at the low and at the high end of its band.
using Ends = std::pair<const PointResult*, const PointResult*>;

Ends ends_of(const std::vector<Entry>& entries,
             const std::vector<PointResult>& results,
             const std::string& key) {
    const auto found = std::find_if(
        entries.begin(), entries.end(), [&key](const Entry& entry) { return entry.key == key; });
    const auto k = static_cast<std::size_t>(found - entries.begin());
    return {&results[2 * k], &results[2 * k + 1]};
}

/// Half of what a number moves by from one end to the other.
template <class Number>
double half_move(const Ends& ends, Number&& number) {
    return 0.5 * (number(*ends.second) - number(*ends.first));
}

/// Collects parts; one that moves nothing is none.
class BandSum final {
public:
    explicit BandSum(const PointResult& nominal)
        : nominal_(nominal), crossed_bias_(nominal.cylinders.size(), 0.0) {}

    /// @param prior  how many times as wide the cause was before anything was learned of it
    void add(BandPart part, double prior = 1) {
        const auto squares = [](double sum, double x) { return std::hypot(sum, x); };
        join(bands_.sum, part, squares);
        join(bands_.before,
             {"", prior * part.bias, prior * part.air, prior * part.spread, prior * part.slot_loss},
             squares);
        learned_ = learned_ || prior != 1;
        keep(std::move(part));
    }
    /// Of two coefficients whose own parts were added.
    void add_correlation(double correlation, const Ends& a, const Ends& b) {
        const auto product = [&](auto&& number) {
            return 2 * correlation * half_move(a, number) * half_move(b, number);
        };
        for (std::size_t i = 0; i < crossed_bias_.size(); ++i) {
            crossed_bias_[i] += product([i](const auto& r) { return r.cylinders[i].bias; });
        }
        crossed_.spread += product([](const auto& r) { return r.spread; });
        crossed_.slot_loss += product([](const auto& r) { return r.slot_loss; });
        if (nominal_.air_flow != 0) {
            crossed_.air +=
                product([this](const auto& r) { return r.air_flow / nominal_.air_flow; });
        }
    }
    void add_choice(const std::string& law, PointResult other) {
        keep(moves(law, other, nominal_));
        choices_.push_back(std::move(other));
    }
    void leave_out(const std::string& what) { bands_.left_out.push_back(without(what)); }

    [[nodiscard]] Bands result() {
        std::stable_sort(bands_.parts.begin(),
                         bands_.parts.end(),
                         [](const auto& a, const auto& b) { return a.bias > b.bias; });
        choose(bands_.sum, crossed_, crossed_bias_);
        if (learned_) {
            choose(bands_.before, {}, std::vector<double>(crossed_bias_.size(), 0.0));
        } else {
            bands_.before = {};
        }
        return std::move(bands_);
    }

private:
    /// From the sum of squares of the parts to the half width, with what correlations add or take
    /// and with the choices.
    void choose(BandPart& sum,
                const BandPart& crossed,
                const std::vector<double>& crossed_bias) const {
        const auto with = [](double half, double cross) {
            return std::sqrt(std::max(half * half + cross, 0.0));
        };
        const double alone = std::exchange(sum.bias, 0.0);
        for (std::size_t i = 0; i < nominal_.cylinders.size(); ++i) {
            const auto bias = [i](const PointResult& r) { return r.cylinders[i].bias; };
            sum.bias = std::max(sum.bias, with_choices(with(alone, crossed_bias[i]), shifts(bias)));
        }
        sum.spread = with_choices(with(sum.spread, crossed.spread),
                                  shifts([](const auto& r) { return r.spread; }));
        sum.slot_loss = with_choices(with(sum.slot_loss, crossed.slot_loss),
                                     shifts([](const auto& r) { return r.slot_loss; }));
        if (nominal_.air_flow != 0) {
            const auto air = [this](const auto& r) { return r.air_flow / nominal_.air_flow; };
            sum.air = with_choices(with(sum.air, crossed.air), shifts(air));
        }
    }
    void keep(BandPart part) {
        if (part.bias > 0 || part.air > 0 || part.spread > 0 || part.slot_loss > 0) {
            bands_.parts.push_back(std::move(part));
        }
    }
    template <class Number>
    [[nodiscard]] std::vector<double> shifts(Number&& number) const {
        std::vector<double> found;
        for (const auto& choice : choices_) {
            found.push_back(number(choice) - number(nominal_));
        }
        return found;
    }

    const PointResult& nominal_;
    std::vector<PointResult> choices_;
    std::vector<double> crossed_bias_;  ///< what correlations add to the square, by cylinder
    BandPart crossed_;
    bool learned_ = false;
    Bands bands_;
};

}  // namespace

Bands point_bands(const Case& c,
                  const OperatingPoint& point,
                  const PointResult& nominal,
                  const std::vector<double>* start) {
    if (!nominal.converged) {
        return {};
    }
    const auto entries = coefficients(c);
    const auto laws = alternatives(c);
    auto moved = moved_ends(c, point, entries);
    for (const auto& law : laws) {
        law.set(moved.emplace_back(Shifted{as_it_is(c), point}).parts);
    }
    const auto assumed = assumed_bands(c, point);
    for (const auto& band : assumed) {
        for (const auto& end : band.ends) {
            // One that cannot be built is solved as it is, and left out below.
            moved.push_back(end.value_or(Shifted{as_it_is(c), point}));
        }
    }
    auto results = solve_all(c, std::move(moved), start, nominal.cycles);
    BandSum bands(nominal);
    const auto larger_end = [&](const std::string& name, std::size_t low) {
        BandPart largest{.name = name};
        for (const std::size_t end : {0u, 1u}) {
            const PointResult& r = results[low + end];
            if (r.converged) {
                join(largest, moves("", r, nominal), [](double a, double b) {
                    return std::max(a, b);
                });
            } else {
                bands.leave_out(end_of(name, end == 1));
            }
        }
        return largest;
    };
    for (std::size_t k = 0; k < entries.size(); ++k) {
        BandPart largest = larger_end(entries[k].label, 2 * k);
        if (entries[k].key == "valve.coefficient") {
            bands.add(scatter(c, entries[k], largest, nominal.cylinders.size()));
        }
        const double half = 0.5 * (entries[k].high - entries[k].low);
        bands.add(std::move(largest), half > 0 ? entries[k].prior_half / half : 1.0);
    }
    for (std::size_t i = 1; i < c.learned.size(); ++i) {
        for (std::size_t j = 0; j < c.learned[i].correlation.size(); ++j) {
            const auto a = ends_of(entries, results, c.learned[i].key);
            const auto b = ends_of(entries, results, c.learned[j].key);
            if (a.first->converged && a.second->converged && b.first->converged &&
                b.second->converged) {
                bands.add_correlation(c.learned[i].correlation[j], a, b);
            }
        }
    }
    for (std::size_t k = 0; k < laws.size(); ++k) {
        PointResult& r = results[2 * entries.size() + k];
        if (r.converged) {
            bands.add_choice(laws[k].label, std::move(r));
        } else {
            bands.leave_out("other " + laws[k].label);
        }
    }
    const std::size_t first_assumed = 2 * entries.size() + laws.size();
    for (std::size_t k = 0; k < assumed.size(); ++k) {
        for (const std::size_t end : {0u, 1u}) {
            if (!assumed[k].ends[end]) {
                results[first_assumed + 2 * k + end].converged = false;
            }
        }
        bands.add(larger_end(assumed[k].name, first_assumed + 2 * k));
    }
    if (const auto coarse = on_coarse_cells(c, point); coarse.converged) {
        bands.add(moves("cells and steps", coarse, nominal));
    } else {
        bands.leave_out("cells and steps");
    }
    return bands.result();
}

void add_bands(const Case& c,
               const OperatingPoint& point,
               PointResult& result,
               const std::vector<double>* start) {
    Bands bands = point_bands(c, point, result, start);
    result.bias_band = bands.sum.bias;
    result.spread_band = bands.sum.spread;
    result.air_band = bands.sum.air;
    result.slot_loss_band = bands.sum.slot_loss;
    result.band_parts = std::move(bands.parts);
    if (bands.before.bias > 0) {
        result.notes.push_back(narrowed_words(bands));
    }
    for (auto& note : bands.left_out) {
        result.notes.push_back(std::move(note));
    }
}

BenchBand bench_band(const Case& c,
                     const BenchSettings& settings,
                     const BenchParts& parts,
                     const BenchResult& nominal) {
    if (!nominal.converged || parts.open_runner >= 0) {
        return {};
    }
    BenchBand band;
    for (const auto& entry : coefficients(c)) {
        if (entry.uses_engine) {
            continue;
        }
        double largest = 0.0;
        for (const bool high : {false, true}) {
            Moved v{c.model, c.intake, c.engine};
            entry.set(v, high ? entry.high : entry.low);
            const BenchResult r = solve_bench(v.intake, settings, v.model, parts);
            if (r.converged) {
                largest = std::max(largest, largest_move(shares(r), shares(nominal)));
            } else {
                band.left_out.push_back(without(end_of(entry.label, high)));
            }
        }
        band.half_width = std::hypot(band.half_width, largest);
    }
    for (const auto& assumption : c.assumed) {
        // Valves, crank and operating points are not on the bench.
        const std::string section = assumption.key.substr(0, assumption.key.find('.'));
        if (!assumption.end || section == "valve" || section == "engine" || section == "point") {
            continue;
        }
        double largest = 0.0;
        for (const bool high : {false, true}) {
            const auto end = assumption.end(high);
            const BenchResult r =
                end ? solve_bench(end->intake, settings, end->model, parts) : BenchResult{};
            if (r.converged) {
                largest = std::max(largest, largest_move(shares(r), shares(nominal)));
            } else {
                band.left_out.push_back(without(end_of("assumed " + assumption.key, high)));
            }
        }
        band.half_width = std::hypot(band.half_width, largest);
    }
    return band;
}

MovedSpreads moved_spreads(const Case& c,
                           const OperatingPoint& point,
                           const std::vector<double>* start,
                           int start_age) {
    MovedSpreads spreads;
    auto ends = moved_ends(c, point, coefficients(c));
    for (const auto& band : assumed_bands(c, point)) {
        for (const auto& end : band.ends) {
            ends.push_back(end.value_or(Shifted{as_it_is(c), point}));
        }
    }
    const auto moved = solve_all(c, std::move(ends), start, start_age);
    for (std::size_t k = 0; k < moved.size(); k += 2) {
        auto& both = spreads.emplace_back();
        for (const std::size_t end : {0u, 1u}) {
            if (moved[k + end].converged) {
                both[end] = moved[k + end].spread;
            }
        }
    }
    return spreads;
}

double difference_band(double first_spread,
                       const MovedSpreads& first_moved,
                       double second_spread,
                       const MovedSpreads& second_moved) {
    double sum = 0.0;
    for (std::size_t k = 0; k < std::min(first_moved.size(), second_moved.size()); ++k) {
        double largest = 0.0;
        for (std::size_t end = 0; end < 2; ++end) {
            if (first_moved[k][end] && second_moved[k][end]) {
                const double moved = *first_moved[k][end] - *second_moved[k][end];
                largest = std::max(largest, std::abs(moved - (first_spread - second_spread)));
            }
        }
        sum += largest * largest;
    }
    return std::sqrt(sum);
}

}  // namespace plenair
