#include "cases/study/causes.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/case.hpp"
#include "cases/study/chosen_points.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <atomic>
#include <cmath>

namespace plenair {

namespace {

using Off = std::array<bool, cause_count>;
enum : std::size_t { jet, place, pressure, runners, waves };
constexpr std::size_t combinations = std::size_t{1} << cause_count;

constexpr std::size_t bit(std::size_t cause) {
    return std::size_t{1} << cause;
}

/// What each of these does is nothing without those before it: in endless chambers there is neither
/// pressure along them nor a place to feed, a feed acts by waves and pressure, and a jet comes from
/// a place.
constexpr std::array<std::size_t, cause_count - 1> in_turn{waves, pressure, place, jet};

/// Orders in which the causes can be switched on: runners act at any time.
constexpr std::size_t order_count = cause_count;
using Order = std::array<std::size_t, cause_count>;

std::array<Order, order_count> possible_orders() {
    std::array<Order, order_count> orders{};
    for (std::size_t at = 0; at < order_count; ++at) {
        std::copy_n(in_turn.begin(), at, orders[at].begin());
        orders[at][at] = runners;
        std::copy(in_turn.begin() + static_cast<std::ptrdiff_t>(at),
                  in_turn.end(),
                  orders[at].begin() + static_cast<std::ptrdiff_t>(at) + 1);
    }
    return orders;
}

/// The combinations that those orders go through, by the bits of what acts, ascending.
std::vector<std::size_t> possible_combinations() {
    std::vector<std::size_t> found;
    std::size_t on = 0;
    for (std::size_t i = 0; i <= in_turn.size(); ++i) {
        found.push_back(on);
        found.push_back(on | bit(runners));
        on |= i < in_turn.size() ? bit(in_turn[i]) : 0;
    }
    std::sort(found.begin(), found.end());
    return found;
}

/// A chamber so large that neither its flow nor its waves move its pressure; larger ones take ever
/// more cycles to fill.
constexpr double large = 30;

void move_feeds(geometry::Bank& bank) {
    for (auto& throttle : bank.throttles) {
        const bool to_plenum = throttle.feeds == geometry::FeedTarget::plenum;
        const auto& chamber = to_plenum ? bank.plenum : bank.pre_chamber;
        if (chamber) {
            throttle.position = geometry::FeedPosition::side;
            throttle.x = 0.5 * chamber->length;
        }
    }
}

void enlarge(std::optional<geometry::Chamber>& chamber) {
    if (!chamber) {
        return;
    }
    auto area = chamber->area.value();
    for (double& value : area) {
        value *= large;
    }
    chamber->area = geometry::Profile::stations(chamber->area.x(), area);
    chamber->perimeter.reset();
    chamber->height.reset();
}

/// Mean of a member over the runners of a bank.
template <class Member>
double mean_of(const std::vector<geometry::Runner>& list, const Member& member) {
    double sum = 0;
    for (const auto& runner : list) {
        sum += member(runner);
    }
    return sum / static_cast<double>(list.size());
}

std::optional<double> mean_of(const std::vector<geometry::Runner>& list,
                              std::optional<double> geometry::Runner::*member) {
    const bool all = std::all_of(
        list.begin(), list.end(), [&](const auto& runner) { return (runner.*member).has_value(); });
    if (!all) {
        return std::nullopt;
    }
    return mean_of(list, [&](const geometry::Runner& runner) { return *(runner.*member); });
}

/// Every runner becomes their mean; each keeps its place.
void level_runners(geometry::Bank& bank) {
    const auto before = bank.runners;
    if (before.size() < 2) {
        return;
    }
    using geometry::Runner;
    const double length = mean_of(before, [](const Runner& r) { return r.length; });
    // At as many places along the mean runner as the most detailed one has, and enough of them.
    constexpr std::size_t places = 17;
    std::vector<double> x, bore;
    for (std::size_t i = 0; i < places; ++i) {
        const double part = static_cast<double>(i) / (places - 1);
        x.push_back(part * length);
        bore.push_back(
            mean_of(before, [part](const Runner& r) { return r.diameter.at(part * r.length); }));
    }
    for (auto& runner : bank.runners) {
        runner.length = length;
        runner.port_length = mean_of(before, [](const Runner& r) { return r.port_length; });
        runner.diameter = geometry::Profile::stations(x, bore);
        runner.bell_radius = mean_of(before, [](const Runner& r) { return r.bell_radius; });
        runner.bend_loss = mean_of(before, [](const Runner& r) { return r.bend_loss; });
        runner.entry_loss = mean_of(before, &Runner::entry_loss);
        runner.roughness = mean_of(before, &Runner::roughness);
        runner.wall_temperature = mean_of(before, &Runner::wall_temperature);
        runner.port_wall_temperature = mean_of(before, &Runner::port_wall_temperature);
    }
}

bool equal_runners(const geometry::Bank& bank) {
    return std::all_of(bank.runners.begin(), bank.runners.end(), [&](const geometry::Runner& r) {
        const auto& first = bank.runners.front();
        return r.length == first.length && r.port_length == first.port_length &&
               r.diameter.x() == first.diameter.x() &&
               r.diameter.value() == first.diameter.value() && r.bell_radius == first.bell_radius &&
               r.bend_loss == first.bend_loss && r.entry_loss == first.entry_loss &&
               r.roughness == first.roughness && r.wall_temperature == first.wall_temperature &&
               r.port_wall_temperature == first.port_wall_temperature;
    });
}

/// Switch settings of combination `k`: bit i set means that cause i acts.
Off off_of(std::size_t k) {
    Off off{};
    for (std::size_t i = 0; i < cause_count; ++i) {
        off[i] = (k >> i & 1u) == 0;
    }
    return off;
}

bool from_the_side(const geometry::Bank& bank) {
    return std::all_of(bank.throttles.begin(), bank.throttles.end(), [](const auto& throttle) {
        return throttle.position == geometry::FeedPosition::side;
    });
}

bool fed_in_the_middle(const geometry::Bank& bank) {
    return from_the_side(bank) &&
           std::all_of(bank.throttles.begin(), bank.throttles.end(), [&](const auto& throttle) {
               const bool to_plenum = throttle.feeds == geometry::FeedTarget::plenum;
               const auto& chamber = to_plenum ? bank.plenum : bank.pre_chamber;
               return !chamber || throttle.x == 0.5 * chamber->length;
           });
}

/// For each possible combination the first that is the same case: switches of what does not act
/// change nothing.
std::vector<std::size_t> first_like(const Case& c) {
    const auto& banks = c.intake.banks;
    std::size_t idle = 0;
    const auto rests = [&](std::size_t cause, bool nothing) { idle |= nothing ? bit(cause) : 0; };
    rests(jet, !c.model.jet || std::all_of(banks.begin(), banks.end(), from_the_side));
    rests(place, std::all_of(banks.begin(), banks.end(), fed_in_the_middle));
    rests(runners, std::all_of(banks.begin(), banks.end(), equal_runners));
    const auto possible = possible_combinations();
    std::vector<std::size_t> first(combinations, combinations);
    for (const std::size_t k : possible) {
        first[k] = *std::find_if(possible.begin(), possible.end(), [&](std::size_t other) {
            return (other | idle) == (k | idle);
        });
    }
    return first;
}

std::string names_off(const Off& off) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < cause_count; ++i) {
        if (off[i]) {
            names.push_back(all_causes()[i].name);
        }
    }
    return names.empty() ? "nothing" : fmt::format("{}", fmt::join(names, ", "));
}

/// @param results  of the possible combinations, by their bits
CausePoint divide(const OperatingPoint& point, const std::vector<PointResult>& results) {
    CausePoint divided;
    divided.name = point.name;
    divided.speed = point.speed;
    const auto possible = possible_combinations();
    const auto lost = std::find_if(
        possible.rbegin(), possible.rend(), [&](const auto k) { return !results[k].converged; });
    if (lost != possible.rend()) {
        divided.failure = fmt::format("with {} switched off it did not converge: {}",
                                      names_off(off_of(*lost)),
                                      results[*lost].failure);
        return divided;
    }
    const auto& whole = results.back().cylinders;
    for (std::size_t c = 0; c < whole.size(); ++c) {
        divided.cylinders.push_back(whole[c].cylinder);
        divided.whole.push_back(whole[c].bias);
        divided.rest.push_back(results.front().cylinders[c].bias);
    }
    for (auto& part : divided.part) {
        part.assign(whole.size(), 0.0);
    }
    for (const Order& order : possible_orders()) {
        std::size_t on = 0;
        for (const std::size_t cause : order) {
            for (std::size_t c = 0; c < whole.size(); ++c) {
                const double added =
                    results[on | bit(cause)].cylinders[c].bias - results[on].cylinders[c].bias;
                divided.part[cause][c] += added / static_cast<double>(order_count);
            }
            on |= bit(cause);
        }
    }
    const auto [low, high] = std::minmax_element(divided.whole.begin(), divided.whole.end());
    const auto least = static_cast<std::size_t>(low - divided.whole.begin());
    const auto most = static_cast<std::size_t>(high - divided.whole.begin());
    divided.spread = *high - *low;
    divided.spread_rest = divided.rest[most] - divided.rest[least];
    for (std::size_t i = 0; i < cause_count; ++i) {
        divided.spread_part[i] = divided.part[i][most] - divided.part[i][least];
        if (divided.spread_part[i] > divided.spread_part[divided.largest]) {
            divided.largest = i;
        }
    }
    divided.known = true;
    return divided;
}

/// A case with its causes switched off in every possible way.
class Switched final {
public:
    explicit Switched(const Case& c) : first_(first_like(c)), cases_(combinations) {
        for (std::size_t k = 0; k < combinations; ++k) {
            if (first_[k] == k) {
                jobs_.push_back(k);
                cases_[k] = without_causes(c, off_of(k));
            }
        }
    }

    [[nodiscard]] std::vector<CausePoint> points(const std::vector<OperatingPoint>& points,
                                                 const CausesOptions& options) const {
        std::vector<std::vector<PointResult>> solved(points.size(),
                                                     std::vector<PointResult>(combinations));
        std::atomic<int> done{0};
        const std::size_t total = points.size() * jobs_.size();
        for_each_job(total, options.threads, [&](std::size_t job) {
            if (options.stop != nullptr && options.stop->load()) {
                return;
            }
            // Endless chambers come first: they take the most cycles.
            const std::size_t p = job % points.size(), k = jobs_[job / points.size()];
            const Case& made = cases_[k];
            solved[p][k] = solve_point(made.intake, made.engine, points[p], made.model, {});
            if (options.progress) {
                options.progress(++done, static_cast<int>(total));
            }
        });
        std::vector<CausePoint> divided;
        for (std::size_t p = 0; p < points.size(); ++p) {
            for (std::size_t k = 0; k < combinations; ++k) {
                if (first_[k] < k) {
                    solved[p][k] = solved[p][first_[k]];
                }
            }
            divided.push_back(divide(points[p], solved[p]));
        }
        return divided;
    }

private:
    std::vector<std::size_t> first_;  ///< like which of them each combination is
    std::vector<std::size_t> jobs_;  ///< those to solve
    std::vector<Case> cases_;
};

}  // namespace

const std::array<Cause, cause_count>& all_causes() {
    static const std::array<Cause, cause_count> all = {
        {{"jet of the feed",
          "the throttle's jet spreads at once over the chamber's section",
          "a wider throttle, a diffuser, or a longer way to the first runner"},
         {"place of the feed",
          "the feed enters through the side of the chamber at half its length",
          "the throttle's place"},
         {"pressure along the chambers",
          "air that leaves a chamber takes twice its velocity along, so none is regained, and air "
          "that passes a mouth costs it nothing",
          "larger chamber sections, a taper, or, where there is a slot, a narrower one"},
         {"unequal runners and ports",
          "every runner with its port becomes the mean of all",
          "runner lengths, bores and entries"},
         {"waves and draw order in the chambers",
          "the sections of all chambers are thirty times as large",
          "plenum length and section, end clearances, the firing order"}}};
    return all;
}

Case without_causes(Case c, const Off& off) {
    c.model.jet = c.model.jet && !off[jet];
    if (off[pressure]) {
        c.model.regain = 0;
        c.model.crossflow_loss = 0;
    }
    if (off[waves]) {
        c.model.max_cycles *= 5;  // large chambers fill slowly
    }
    for (auto& bank : c.intake.banks) {
        if (off[place]) {
            move_feeds(bank);
        }
        if (off[runners] && !equal_runners(bank)) {
            level_runners(bank);
        }
        if (off[waves]) {
            enlarge(bank.pre_chamber);
            enlarge(bank.plenum);
        }
    }
    return c;
}

bool CausesResult::converged() const {
    return std::all_of(points.begin(), points.end(), [](const auto& p) { return p.known; });
}

std::string largest_cause_text(const CausePoint& point) {
    if (point.cylinders.size() == 1) {
        return fmt::format("{}: one cylinder gets all the air: there is no spread.", point.name);
    }
    if (point.spread < least_told_spread) {
        return fmt::format("{}: there is no spread to divide.", point.name);
    }
    const Cause& cause = all_causes()[point.largest];
    // As printed: what differs in digits that are not shown does not differ.
    const auto shown = [](double ratio) {
        return std::round(10 * geometry::to_unit(ratio, "%")) / 10;
    };
    const double part = shown(point.spread_part[point.largest]);
    const double whole = shown(point.spread);
    const std::string share =
        part > whole ? fmt::format(
                           "the {} would make {:.1f} % spread, other causes take {:.1f} % of "
                           "it back",
                           cause.name,
                           part,
                           part - whole)
                     : fmt::format("{:.1f} of {:.1f} % spread is the {}", part, whole, cause.name);
    return fmt::format("{}: {}; what moves it: {}.", point.name, share, cause.lever);
}

CausePoint causes_of(const Case& c, const OperatingPoint& point, int threads) {
    return Switched(c).points({point}, {threads, {}, {}, nullptr}).front();
}

CausesResult causes(const Case& c, const CausesOptions& options) {
    const auto chosen = study::chosen_points(c, options.points, "causes");
    CausesResult result;
    result.title = c.title;
    result.case_digest = c.digest;
    result.case_text = c.text;
    std::vector<OperatingPoint> points;
    for (const std::size_t p : chosen) {
        points.push_back(c.points[p]);
    }
    result.points = Switched(c).points(points, options);
    for (const auto& point : result.points) {
        result.sentences.push_back(
            point.known ? largest_cause_text(point)
                        : fmt::format("{}: causes cannot be told: {}.", point.name, point.failure));
    }
    return result;
}

}  // namespace plenair
