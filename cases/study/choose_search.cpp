#include "cases/study/choose_search.hpp"

#include "cases/base/sobol_sequence.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace plenair::study {

namespace {

using Settings = std::vector<double>;

constexpr std::size_t most_starts = 5;
constexpr int most_rounds = 12;
constexpr double apart = 0.12;  // of the unit cube's edge: another start

double distance(const Settings& a, const Settings& b) {
    double sum = 0;
    for (std::size_t k = 0; k < a.size(); ++k) {
        sum += (a[k] - b[k]) * (a[k] - b[k]);
    }
    return std::sqrt(sum / static_cast<double>(a.size()));
}

/// A place that a search goes on from.
struct SearchStart {
    Settings place;
    double merit = 0;
    double radius = 0.5;
    bool done = false;
};

std::vector<const Tried*> by_merit(const Designs& designs) {
    std::vector<const Tried*> order;
    for (const auto& tried : designs.all()) {
        if (!tried.outputs.empty() && designs.allowed(tried.place)) {
            order.push_back(&tried);
        }
    }
    std::stable_sort(order.begin(), order.end(), [](const auto* a, const auto* b) {
        return a->merit < b->merit;
    });
    return order;
}

std::vector<SearchStart> starts_of(const Designs& designs) {
    std::vector<SearchStart> starts;
    for (const auto* tried : by_merit(designs)) {
        const bool far = std::all_of(starts.begin(), starts.end(), [&](const SearchStart& other) {
            return distance(other.place, tried->place) > apart;
        });
        if (far && starts.size() < most_starts) {
            starts.push_back({tried->place, tried->merit});
        }
    }
    return starts;
}

Box box_at(const Settings& place, double radius) {
    Box box;
    for (const double at : place) {
        box.low.push_back(std::max(0.0, at - radius));
        box.high.push_back(std::min(1.0, at + radius));
    }
    return box;
}

double least_step(const Designs& designs) {
    double least = 1;
    for (std::size_t k = 0; k < designs.dimension(); ++k) {
        least = std::min(least, designs.step(k));
    }
    return least;
}

/// One small move of each number around a place: what gradients are made of.
void add_moves(const Designs& designs, const SearchStart& start, std::vector<Settings>& places) {
    for (std::size_t k = 0; k < start.place.size(); ++k) {
        const double size = std::max({0.2 * start.radius, 0.25 * designs.step(k), 2e-3});
        Settings place = start.place;
        place[k] += place[k] + size <= 1 ? size : -size;
        place[k] = std::clamp(place[k], 0.0, 1.0);
        places.push_back(place);
    }
}

/// Moves a start to where its descent led, if that is better; shrinks its box where it is not.
void advance(SearchStart& start, const Tried* tried, double least) {
    const double moved_by = tried == nullptr ? 0 : distance(start.place, tried->place);
    const double gain = tried == nullptr ? -1 : start.merit - tried->merit;
    constexpr double worth = 1e-4;  // percent of spread: below it nothing is told apart
    if (gain > 0) {
        start.place = tried->place;
        start.merit = tried->merit;
    }
    const bool far = moved_by > 0.5 * start.radius;
    start.radius *= gain > worth ? (far ? 1.5 : 0.7) : 0.3;
    start.done = start.radius < std::max(0.1 * least, 1e-3) ||
                 (gain <= worth && start.radius < std::max(least, 4e-3));
}

/// Ends of descents that fill lanes together with the moves.
std::size_t ends_of_round(std::size_t moves) {
    constexpr std::size_t least = 2;
    const std::size_t whole = (moves + least + lanes_filled - 1) / lanes_filled * lanes_filled;
    return whole - moves;
}

void round_of(Designs& designs, const Goal& goal, std::vector<SearchStart>& starts, double least) {
    const Surface surface = designs.surface();
    std::vector<Settings> places;
    std::vector<std::size_t> of_start;
    const std::size_t ends_wanted = ends_of_round(designs.dimension());
    for (std::size_t s = 0; s < starts.size(); ++s) {
        if (!starts[s].done && of_start.size() < ends_wanted) {
            places.push_back(descend(surface,
                                     goal,
                                     designs.limits(),
                                     box_at(starts[s].place, starts[s].radius),
                                     starts[s].place));
            of_start.push_back(s);
        }
    }
    const std::vector<Settings> ends = places;
    const auto best = std::min_element(
        starts.begin(), starts.end(), [](auto& a, auto& b) { return a.merit < b.merit; });
    add_moves(designs, *best, places);
    designs.solve(places);
    for (std::size_t i = 0; i < of_start.size(); ++i) {
        const auto* tried = designs.find(ends[i]);
        const bool good =
            tried != nullptr && !tried->outputs.empty() && designs.allowed(tried->place);
        advance(starts[of_start[i]], good ? tried : nullptr, least);
    }
}

/// Two starts that came to one place go on as one.
void merge(std::vector<SearchStart>& starts, double near) {
    for (std::size_t a = 0; a < starts.size(); ++a) {
        for (std::size_t b = starts.size(); b-- > a + 1;) {
            if (distance(starts[a].place, starts[b].place) < near) {
                if (starts[b].merit < starts[a].merit) {
                    std::swap(starts[a], starts[b]);
                }
                starts.erase(starts.begin() + static_cast<std::ptrdiff_t>(b));
            }
        }
    }
}

/// Merit of a place on the surface; huge where it is not allowed.
double merit_on_surface(const Designs& designs,
                        const Goal& goal,
                        const Surface& surface,
                        const Settings& place) {
    return designs.allowed(place) ? merit_of(goal, surface.at(place))
                                  : std::numeric_limits<double>::max();
}

/// Steps in one or two numbers at a time on the surface until nothing is better.
/// @param held  a number that stays as it is; none: past the last
Settings settled_on_surface(const Designs& designs,
                            const Goal& goal,
                            const Surface& surface,
                            Settings place,
                            std::size_t held = std::numeric_limits<std::size_t>::max()) {
    double merit = merit_on_surface(designs, goal, surface, place);
    const std::size_t d = place.size();
    for (int round = 0; round < 30; ++round) {
        Settings best = place;
        double least = merit;
        const auto consider = [&](const Settings& candidate) {
            const double value = merit_on_surface(designs, goal, surface, candidate);
            if (value < least) {
                least = value;
                best = candidate;
            }
        };
        for (std::size_t a = 0; a < d; ++a) {
            for (const int i : {-1, 1}) {
                const Settings one = a == held ? place : moved(designs, place, a, i);
                consider(one);
                for (std::size_t b = 0; b < a && a != held; ++b) {
                    for (const int j : {-1, 1}) {
                        consider(b == held ? one : moved(designs, one, b, j));
                    }
                }
            }
        }
        if (!(least < merit)) {
            return place;
        }
        place = best;
        merit = least;
    }
    return place;
}

/// Where one number has coarse steps, its neighbours are worth what the others make of them: each
/// with the others best for it on the surface.
std::vector<Settings> beside_coarse_steps(const Designs& designs,
                                          const Goal& goal,
                                          const Surface& surface,
                                          const Settings& place) {
    constexpr double coarse = 0.05;  // of the range
    std::vector<Settings> found;
    for (std::size_t k = 0; k < place.size(); ++k) {
        for (const int steps : {-1, 1}) {
            const Settings next = moved(designs, place, k, steps);
            if (designs.step(k) < coarse || next == place) {
                continue;
            }
            Box box{Settings(place.size(), 0.0), Settings(place.size(), 1.0)};
            box.low[k] = box.high[k] = next[k];
            const Settings end = descend(surface, goal, designs.limits(), box, next);
            found.push_back(settled_on_surface(designs, goal, surface, designs.rounded(end), k));
        }
    }
    return found;
}

}  // namespace

std::vector<double> moved(const Designs& designs, Settings place, std::size_t k, int steps) {
    const double at = place[k] + steps * designs.step(k);
    constexpr double slack = 1e-9;
    if (at > -slack && at < 1 + slack) {
        place[k] = std::clamp(at, 0.0, 1.0);
    }
    return place;
}

std::vector<Settings> even_sample(const ChoosePlan& plan,
                                  const Designs& designs,
                                  std::size_t count,
                                  std::uint64_t seed) {
    // A single number takes one coordinate, a profile three: level, slope and bow.
    std::vector<std::size_t> coordinate;
    std::size_t used = 0;
    for (std::size_t k = 0; k < plan.numbers.size(); ++k) {
        const bool first = k == 0 || plan.numbers[k].entry != plan.numbers[k - 1].entry;
        used += first ? (plan.numbers[k].place ? 3 : 1) : 0;
        coordinate.push_back(used - (plan.numbers[k].place ? 3 : 1));
    }
    SobolSequence sequence(used, seed, 1);
    std::mt19937_64 random(seed);
    random.discard(used);  // those that shift the sequence
    std::uniform_real_distribution<double> own(-0.06, 0.06);
    std::vector<Settings> places;
    for (std::size_t i = 0; i < count; ++i) {
        const std::vector<double> u = sequence.next();
        Settings place;
        for (std::size_t k = 0; k < plan.numbers.size(); ++k) {
            const double* at = &u[coordinate[k]];
            if (!plan.numbers[k].place) {
                place.push_back(at[0]);
                continue;
            }
            const double s = 2 * *plan.numbers[k].place - 1;
            const double value = at[0] + 0.5 * (at[1] - 0.5) * s +
                                 0.5 * (at[2] - 0.5) * (s * s - 1.0 / 3.0) + own(random);
            place.push_back(std::clamp(value, 0.0, 1.0));
        }
        places.push_back(designs.smoothed(place));
    }
    return places;
}

std::vector<Optimum> search(Designs& designs, const Goal& goal) {
    auto starts = starts_of(designs);
    const double least = least_step(designs);
    for (int round = 0; round < most_rounds && !starts.empty() && !designs.stopped(); ++round) {
        round_of(designs, goal, starts, least);
        merge(starts, 0.02);
        const auto best = std::min_element(
            starts.begin(), starts.end(), [](auto& a, auto& b) { return a.merit < b.merit; });
        if (best->done) {
            break;
        }
    }
    std::stable_sort(
        starts.begin(), starts.end(), [](auto& a, auto& b) { return a.merit < b.merit; });
    std::vector<Optimum> ends;
    for (auto& start : starts) {
        ends.push_back({std::move(start.place), start.merit});
    }
    return ends;
}

Settings settle_on_steps(Designs& designs, const Goal& goal, const Settings& place) {
    Settings at = settled_on_surface(designs, goal, designs.surface(), designs.rounded(place));
    constexpr int most = 12;
    for (int round = 0; round < most && !designs.stopped(); ++round) {
        std::vector<Settings> neighbours{at};
        for (std::size_t k = 0; k < at.size(); ++k) {
            for (const int steps : {-1, 1}) {
                neighbours.push_back(moved(designs, at, k, steps));
            }
        }
        const Surface surface = designs.surface();
        neighbours.push_back(settled_on_surface(designs, goal, surface, at));
        const auto beside = beside_coarse_steps(designs, goal, surface, at);
        neighbours.insert(neighbours.end(), beside.begin(), beside.end());
        designs.solve(neighbours);
        const Tried* best = designs.find(at);
        for (const auto& each : neighbours) {
            const auto* tried = designs.find(each);
            constexpr double worth = 5e-4;  // percent of spread: less is rounding
            if (designs.allowed(each) && tried->merit < best->merit - worth) {
                best = tried;
            }
        }
        if (best->place == at) {
            break;
        }
        at = best->place;
    }
    return at;
}

}  // namespace plenair::study
