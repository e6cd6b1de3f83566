#include "cases/study/choose_designs.hpp"

#include "cases/base/parallel.hpp"
#include "cases/study/block.hpp"
#include "cases/study/march_together.hpp"
#include "solver/ensemble/warm_start.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <mutex>

namespace plenair::study {

namespace {

constexpr double no_merit = std::numeric_limits<double>::max();
// Gradients are taken from differences: designs must be more periodic than those of a sweep.
constexpr double search_tolerance = 3e-6;
constexpr double same_place = 1e-9;

bool same(const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), [](double x, double y) {
        return std::abs(x - y) < same_place;
    });
}

/// Designs in one block: all of a round, for lanes that stay empty cost as much as full ones; the
/// threads then share out its points. Of a case with one point each thread has a block.
std::size_t chunk_size(std::size_t designs, std::size_t points) {
    constexpr std::size_t most = 64, least = 8;
    return points > 1 ? most : std::clamp<std::size_t>((designs + 1) / 2, least, most / 2);
}

/// Designs of which the transport of still air is kept for others: the largest part of what is
/// known of one.
constexpr std::size_t kept_transports = 12;

}  // namespace

std::vector<BenchResult> solve_set_ups(const Case& c) {
    std::vector<BenchResult> results;
    for (const auto& settings : c.bench) {
        const bool slot = std::any_of(c.intake.banks.begin(), c.intake.banks.end(), [](auto& bank) {
            return bank.slot.has_value();
        });
        if (settings.set_up == BenchSetUp::all || (settings.set_up == BenchSetUp::slot && slot)) {
            results.push_back(
                solve_bench(c.intake, settings, c.model, {.set_up = settings.set_up}));
        }
    }
    return results;
}

Designs::Designs(const ChoosePlan& plan, const ChooseOptions& options)
    : plan_(plan), options_(options) {
    for (const auto& limit : plan.stations) {
        const auto& number = plan.numbers[limit.first];
        limits_.push_back({limit.first, limit.second, limit.most / (number.high - number.low)});
    }
}

void Designs::set_goal(const Goal& goal) {
    goal_ = goal;
    for (auto& tried : all_) {
        set_merit(tried);
    }
}

void Designs::set_merit(Tried& tried) const {
    if (tried.outputs.size() != goal_.outputs) {
        tried.outputs.clear();
    }
    tried.merit = tried.outputs.empty() ? no_merit : merit_of(goal_, tried.outputs);
}

void Designs::solve(const std::vector<std::vector<double>>& places) {
    std::vector<std::size_t> fresh;
    for (const auto& place : places) {
        if (find(place) == nullptr) {
            fresh.push_back(all_.size());
            all_.push_back({place, {}, no_merit});
        }
    }
    plan_.base.has_engine ? solve_engine(fresh) : solve_rig(fresh);
    for (const std::size_t i : fresh) {
        set_merit(all_[i]);
    }
    if (options_.progress) {
        options_.progress(static_cast<int>(all_.size()), 0);
    }
}

void Designs::solve_engine(const std::vector<std::size_t>& fresh) {
    // The first ones know of no neighbour; all others begin between those before them.
    constexpr std::size_t first_stage = 64;
    std::size_t done = 0;
    while (done < fresh.size()) {
        const std::size_t left = fresh.size() - done;
        known_ = fresh[done];
        if (known_ > 0 && plans_.empty()) {
            choose_plans();
        }
        const std::size_t stage = known_ == 0 ? std::min(left, first_stage) : left;
        const std::size_t points = plan_.base.points.size();
        const std::size_t chunk = chunk_size(stage, points);
        const int outer = points > 1 ? 1 : options_.threads;
        for_each_job((stage + chunk - 1) / chunk, outer, [&](std::size_t job) {
            const auto at = [&](std::size_t i) {
                return fresh.begin() + static_cast<std::ptrdiff_t>(done + std::min(i, stage));
            };
            solve_chunk({at(job * chunk), at((job + 1) * chunk)});
        });
        done += stage;
    }
}

/// At each point the steps that are enough for nine of ten designs.
void Designs::choose_plans() {
    for (std::size_t p = 0; p < plan_.base.points.size(); ++p) {
        std::vector<const StepPlan*> plans;
        for (std::size_t i = 0; i < known_; ++i) {
            if (p < all_[i].ends.size() && !all_[i].ends[p].plan.steps.empty()) {
                plans.push_back(&all_[i].ends[p].plan);
            }
        }
        std::stable_sort(plans.begin(), plans.end(), [](const StepPlan* a, const StepPlan* b) {
            return a->total() < b->total();
        });
        plans_.push_back(plans.empty() ? StepPlan{} : *plans[(plans.size() - 1) * 9 / 10]);
    }
}

void Designs::solve_chunk(const std::vector<std::size_t>& chunk) {
    std::vector<Case> cases;
    std::vector<std::size_t> of_case;
    std::vector<std::vector<double>> at;
    std::vector<std::vector<Start>> starts, ends;
    for (const std::size_t i : chunk) {
        auto made = plan_.make(numbers(all_[i].place));
        if (made.failure.empty()) {
            cases.push_back(std::move(made.c));
            of_case.push_back(i);
            at.push_back(all_[i].place);
            starts.push_back(starts_of(all_[i].place));
            continue;
        }
        const std::lock_guard lock(mutex_);
        first_failure_ = first_failure_.empty() ? made.failure : first_failure_;
    }
    BlockOptions block;
    block.tolerance = search_tolerance;
    // With the same steps everywhere both precisions lead to the same design, at half the price in
    // this one; what is chosen is solved again in the other.
    block.single = true;
    block.places = at;
    block.starts = starts;
    block.ends = &ends;
    block.march_together = lanes_filled;
    block.threads = plan_.base.points.size() > 1 ? options_.threads : 1;
    block.stop = options_.stop;
    const auto outcomes = solve_block(cases, block);
    for (std::size_t k = 0; outcomes && k < of_case.size(); ++k) {
        const auto& outcome = (*outcomes)[k];
        Tried& tried = all_[of_case[k]];
        tried.outputs = outputs_of(outcome.points);
        if (outcome.points.empty()) {
            tried.outputs.clear();
        }
        tried.ends = std::move(ends[k]);
        for (auto& end : tried.ends) {
            if (of_case[k] >= kept_transports) {
                end.transport = nullptr;
            }
        }
    }
}

/// On the smooth surface through the states of the nearest designs that are known.
std::vector<Start> Designs::starts_of(const std::vector<double>& place) const {
    std::vector<const Tried*> near;
    for (std::size_t i = 0; i < known_; ++i) {
        if (!all_[i].outputs.empty() && !all_[i].ends.empty()) {
            near.push_back(&all_[i]);
        }
    }
    if (near.empty()) {
        return {};
    }
    const std::size_t wanted = std::min(near.size(), 4 + 4 * place.size());
    std::stable_sort(near.begin(), near.end(), [&](const Tried* a, const Tried* b) {
        return squared_distance(a->place, place) < squared_distance(b->place, place);
    });
    const auto transport_at = [&near](std::size_t p) -> std::shared_ptr<const PassiveTransport> {
        const auto has = std::find_if(near.begin(), near.end(), [&](const Tried* tried) {
            return tried->ends[p].transport != nullptr;
        });
        return has == near.end() ? nullptr : (*has)->ends[p].transport;
    };
    std::vector<std::shared_ptr<const PassiveTransport>> transports;
    for (std::size_t p = 0; p < near.front()->ends.size(); ++p) {
        transports.push_back(transport_at(p));
    }
    near.resize(wanted);
    std::vector<std::vector<double>> places;
    for (const Tried* tried : near) {
        places.push_back(tried->place);
    }
    const auto weights = spline_weights(places, place);
    std::vector<Start> starts;
    for (std::size_t p = 0; p < near.front()->ends.size(); ++p) {
        std::vector<const Start*> ends;
        for (const Tried* tried : near) {
            ends.push_back(&tried->ends[p]);
        }
        starts.push_back(blended(ends, weights));
        starts.back().transport = std::move(transports[p]);
        starts.back().plan = p < plans_.size() ? plans_[p] : StepPlan{};
    }
    return starts;
}

void Designs::solve_rig(const std::vector<std::size_t>& fresh) {
    for_each_job(fresh.size(), options_.threads, [&](std::size_t i) {
        if (stopped()) {
            return;
        }
        auto made = plan_.make(numbers(all_[fresh[i]].place));
        if (made.failure.empty()) {
            all_[fresh[i]].outputs = outputs_of(solve_set_ups(made.c));
            return;
        }
        const std::lock_guard lock(mutex_);
        first_failure_ = first_failure_.empty() ? made.failure : first_failure_;
    });
}

const Tried* Designs::find(const std::vector<double>& place) const {
    const auto found = std::find_if(
        all_.begin(), all_.end(), [&](const Tried& tried) { return same(tried.place, place); });
    return found == all_.end() ? nullptr : &*found;
}

std::size_t Designs::failed() const {
    return static_cast<std::size_t>(std::count_if(
        all_.begin(), all_.end(), [](const Tried& tried) { return tried.outputs.empty(); }));
}

Surface Designs::surface() const {
    std::vector<std::vector<double>> places;
    std::vector<Outputs> outputs;
    for (const auto& tried : all_) {
        const bool apart = std::none_of(places.begin(), places.end(), [&](const auto& other) {
            double sum = 0;
            for (std::size_t k = 0; k < other.size(); ++k) {
                sum += (other[k] - tried.place[k]) * (other[k] - tried.place[k]);
            }
            return sum < 1e-6;  // closer designs would make a slope of their rounding
        });
        if (!tried.outputs.empty() && apart) {
            places.push_back(tried.place);
            outputs.push_back(tried.outputs);
        }
    }
    return {std::move(places), outputs};
}

std::vector<double> Designs::numbers(const std::vector<double>& place) const {
    std::vector<double> values;
    for (std::size_t k = 0; k < place.size(); ++k) {
        const auto& number = plan_.numbers[k];
        values.push_back(number.low + place[k] * (number.high - number.low));
    }
    return values;
}

std::vector<double> Designs::place(const std::vector<double>& numbers) const {
    std::vector<double> at;
    for (std::size_t k = 0; k < numbers.size(); ++k) {
        const auto& number = plan_.numbers[k];
        at.push_back(std::clamp((numbers[k] - number.low) / (number.high - number.low), 0.0, 1.0));
    }
    return at;
}

double Designs::step(std::size_t k) const {
    const auto& number = plan_.numbers[k];
    return number.step / (number.high - number.low);
}

std::vector<double> Designs::rounded(std::vector<double> place) const {
    for (std::size_t k = 0; k < place.size(); ++k) {
        const auto& number = plan_.numbers[k];
        const double value = number.low + place[k] * (number.high - number.low);
        double steps = std::round(value / number.step);
        constexpr double slack = 1e-9;
        if (steps * number.step > number.high + slack * number.step) {
            steps -= 1;
        } else if (steps * number.step < number.low - slack * number.step) {
            steps += 1;
        }
        place[k] =
            std::clamp((steps * number.step - number.low) / (number.high - number.low), 0.0, 1.0);
    }
    return place;
}

bool Designs::allowed(const std::vector<double>& place) const {
    return std::all_of(limits_.begin(), limits_.end(), [&](const PlaceLimit& limit) {
        return std::abs(place[limit.first] - place[limit.second]) <= limit.most * (1 + 1e-9);
    });
}

std::vector<double> Designs::smoothed(std::vector<double> place) const {
    for (const auto& limit : limits_) {
        place[limit.second] = std::clamp(
            place[limit.second], place[limit.first] - limit.most, place[limit.first] + limit.most);
    }
    return place;
}

bool Designs::stopped() const {
    return options_.stop != nullptr && options_.stop->load();
}

}  // namespace plenair::study
