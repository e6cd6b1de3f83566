#include "solver/ensemble/ensemble.hpp"

#include "geometry/error.hpp"
#include "solver/arithmetic/real.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/lane_ensemble.hpp"
#include "solver/ensemble/warm_start.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/transfer.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>
#include <type_traits>
#include <utility>

namespace plenair {

namespace {

using Jobs = std::vector<std::unique_ptr<Job>>;

/// The gases of charge and products are the same, whatever their pressures.
bool same_gases(const OperatingPoint& a, const OperatingPoint& b) {
    return a.humidity_ratio == b.humidity_ratio &&
           a.combustion.hydrogen_carbon == b.combustion.hydrogen_carbon &&
           a.combustion.oxygen_carbon == b.combustion.oxygen_carbon &&
           a.combustion.lambda == b.combustion.lambda;
}

/// Builds jobs from variants. What takes time is made once: tables of gas and friction for the
/// first one of the same gases, those of the crank for equal engines at equal points.
class JobMaker final {
public:
    /// @throws InputError where the parts cannot be built
    std::unique_ptr<Job> make(std::size_t index, const Variant& v, const Model& model) {
        auto job = std::make_unique<Job>();
        job->index = index;
        const Drive& drive = drive_of(v);
        job->engine = drive.engine;
        job->point = drive.point;
        const auto like = std::find_if(likes_.begin(), likes_.end(), [&](const Like& l) {
            return same_gases(*l.point, *v.point);
        });
        job->network = build_engine(
            *v.intake, *v.engine, *v.point, model, like == likes_.end() ? nullptr : &like->network);
        if (like == likes_.end()) {
            likes_.push_back({v.point, job->network});
        }
        job->network.crank = drive.first_table;
        job->at_rest = initial_state(job->network);
        job->rate_at_rest = fastest_rate(job->network, job->at_rest);
        job->rate = step_rate_level(expected_rate(job->network, job->at_rest, *v.point));
        return job;
    }

private:
    struct Like {
        const OperatingPoint* point;
        Network network;
    };
    /// Equal engines at equal points are one: they share their tables.
    struct Drive {
        const geometry::Engine* engine;
        const OperatingPoint* point;
        CrankTable first_table;
    };

    const Drive& drive_of(const Variant& v) {
        // Variants come in rows: the one before is the likeliest.
        const auto known = std::find_if(drives_.rbegin(), drives_.rend(), [&](const Drive& d) {
            return (d.point == v.point || *d.point == *v.point) &&
                   (d.engine == v.engine || *d.engine == *v.engine);
        });
        if (known != drives_.rend()) {
            return *known;
        }
        // What a job needs of a table: steps, and the first rows for its still gas. The lanes make
        // their own.
        drives_.push_back(
            {v.engine,
             v.point,
             first_crank_rows(*v.engine,
                              *v.point,
                              plan_steps(*v.engine, *v.point, first_table_step(*v.point)))});
        return drives_.back();
    }

    std::deque<Like> likes_;
    std::deque<Drive> drives_;
};

template <class T>
const LaneKernels<T>& lanes_of(Instructions instructions, std::size_t variants) {
    const auto* chosen = instructions == Instructions::avx2       ? avx2_lanes<T>()
                         : instructions == Instructions::portable ? portable_lanes<T>()
                                                                  : nullptr;
    return chosen != nullptr ? *chosen : best_lanes<T>(variants);
}

template <class T>
typename LaneEnsemble<T>::Choice choice_of(Instructions instructions) {
    return [instructions](std::size_t variants) -> const LaneKernels<T>& {
        return lanes_of<T>(instructions, variants);
    };
}

template <class T>
void run(LaneEnsemble<T>& lanes, Jobs& jobs) {
    for (auto& job : jobs) {
        lanes.add(std::move(job));
    }
    jobs.clear();
    lanes.run();
}

/// Begins a job where another ended, on its own cells.
void begin_from(const Finished& from, Job& job) {
    auto state = transfer_state(from.network, from.onward.state, job.network);
    if (!state.empty() && physical(job.network, state)) {
        job.start = from.onward;
        job.start.state = std::move(state);
        // On the same cells the same steps too: what is left of their error is then the same for
        // both precisions.
        const bool same_cells = from.network.layout.size() == job.network.layout.size();
        if (!same_cells) {
            job.start.transport = nullptr;
        }
        if (!same_cells) {
            job.rate = rate_of_waves(job.network, from.waves);
        } else if (from.rate > lane_step_excess * from.own_rate) {
            // A start takes many more steps than it needs to fill lanes; an answer does not.
            job.rate = std::max(from.own_rate, rate_of_waves(job.network, from.waves));
        } else {
            job.rate = from.rate;
            job.plan = from.plan;
            job.table = from.table;
        }
    }
}

Jobs::iterator find(Jobs& jobs, std::size_t index) {
    return std::find_if(
        jobs.begin(), jobs.end(), [&](const auto& job) { return job->index == index; });
}

/// Marches jobs in single-precision lanes to where they are worth beginning from.
void start_from_single(Instructions instructions, Jobs starts, Jobs& jobs) {
    std::vector<PointResult> unused;
    for (const auto& start : starts) {
        unused.resize(std::max(unused.size(), start->index + 1));
    }
    LaneEnsemble<float> lanes(
        {false, 1, true, nullptr, nullptr}, choice_of<float>(instructions), unused);
    run(lanes, starts);
    for (const Finished& finished : lanes.take_finished()) {
        const auto job = find(jobs, finished.index);
        if (job != jobs.end()) {
            begin_from(finished, **job);
        }
    }
}

/// Fastest wave of a running engine over that of still gas, for starts.
constexpr double first_coarse_rate = 1.2;

/// First coarse cells in single-precision lanes, from still gas.
void coarse_starts(Instructions instructions,
                   std::span<const Variant> variants,
                   JobMaker& maker,
                   Jobs& jobs) {
    Jobs starts;
    for (const auto& job : jobs) {
        const Variant& v = variants[job->index];
        try {
            auto coarse = maker.make(job->index, v, coarse_model(*v.model));
            if (worth_a_start(coarse->network, job->network)) {
                // A second table of steps would cost more than a few steps too many.
                coarse->rate = step_rate_level(first_coarse_rate * coarse->rate_at_rest);
                starts.push_back(std::move(coarse));
            }
        } catch (const InputError&) {
            continue;  // what cannot be cut coarsely begins from still gas
        }
    }
    start_from_single(instructions, std::move(starts), jobs);
}

/// Then the cells of the answer, still in single-precision lanes: half the price of double ones.
void single_starts(Instructions instructions, Jobs& jobs) {
    Jobs starts;
    for (const auto& job : jobs) {
        auto start = std::make_unique<Job>();
        start->index = job->index;
        start->network = job->network;
        start->engine = job->engine;
        start->point = job->point;
        start->network.model = start_model(job->network.model);
        start->at_rest = job->at_rest;
        start->rate_at_rest = job->rate_at_rest;
        start->start = job->start;
        start->rate = job->rate;
        starts.push_back(std::move(start));
    }
    start_from_single(instructions, std::move(starts), jobs);
}

/// Where each variant stands in the design, of order one.
std::vector<std::vector<double>> places_of(std::span<const Variant> variants) {
    std::vector<std::vector<double>> places;
    for (const Variant& v : variants) {
        if (v.place.empty() || v.place.size() != variants.front().place.size()) {
            places.clear();
            break;
        }
        places.push_back(v.place);
    }
    for (std::size_t i = 0; places.size() < variants.size(); ++i) {
        places.push_back({static_cast<double>(i) / static_cast<double>(variants.size())});
    }
    return places;
}

/// Jobs of about as many steps that begin from still gas although warm starts are wanted: they fill
/// the lanes that march in step, and the rest begins between them.
constexpr std::size_t first_starts = 16;

/// Takes those out of `jobs` that begin from still gas; both keep their order.
Jobs take_first(Jobs& jobs, bool warm) {
    Jobs first;
    Jobs rest;
    std::map<long, std::size_t> taken;  // of each number of steps
    for (auto& job : jobs) {
        const int steps = plan_steps(*job->engine, *job->point, 1.0 / job->rate).total();
        const long about = std::lround(arithmetic::log(steps) / arithmetic::log(lane_step_excess));
        (!warm || taken[about]++ < first_starts ? first : rest).push_back(std::move(job));
    }
    jobs = std::move(rest);
    return first;
}

/// A start that names its steps is gone on from with these, where its events are the same.
void keep_plan(Job& job) {
    const StepPlan& named = job.start.plan;
    if (named.steps.empty()) {
        return;
    }
    job.rate = job.point->speed / named.longest();
    job.plan = plan_steps(*job.engine, *job.point, 1.0 / job.rate);
    if (job.plan.start == named.start && job.plan.edges == named.edges) {
        job.plan = named;
    } else {
        job.plan.refine(named.total());
        job.rate = job.point->speed / job.plan.longest();
    }
    job.keeps_plan = true;
}

template <class T>
void solve_all(std::span<const Variant> variants,
               const EnsembleOptions& options,
               std::vector<PointResult>& results) {
    JobMaker maker;
    const auto places = places_of(variants);
    Jobs started;  // know where to begin
    Jobs jobs;
    for (const std::size_t i : farthest_first(places)) {
        const Variant& v = variants[i];
        try {
            auto job = maker.make(i, v, *v.model);
            job->place = places[i];
            const bool starts = v.start != nullptr && v.start->state.size() == job->at_rest.size();
            if (starts) {
                job->start = *v.start;
                keep_plan(*job);
            }
            (starts ? started : jobs).push_back(std::move(job));
        } catch (const InputError& error) {
            results[i].failure = error.what();
        }
    }
    if (options.plans != nullptr) {
        options.plans->assign(variants.size(), {});
    }
    if (options.ends != nullptr) {
        options.ends->assign(variants.size(), {});
    }
    LaneEnsemble<T> lanes({options.warm, options.min_cycles, false, options.plans, options.ends},
                          choice_of<T>(options.instructions),
                          results);
    if (!started.empty()) {
        run(lanes, started);
    }
    if (options.coarse_start && started.empty()) {
        Jobs first = take_first(jobs, options.warm);
        coarse_starts(options.instructions, variants, maker, first);
        if constexpr (std::is_same_v<T, double>) {
            single_starts(options.instructions, first);
        }
        run(lanes, first);
    }
    run(lanes, jobs);
}

}  // namespace

std::vector<PointResult> solve_ensemble(std::span<const Variant> variants,
                                        const EnsembleOptions& options) {
    std::vector<PointResult> results(variants.size());
    for (std::size_t i = 0; i < variants.size(); ++i) {
        fill_point(*variants[i].point, results[i]);
    }
    if (options.precision == Precision::float64) {
        solve_all<double>(variants, options, results);
    } else {
        solve_all<float>(variants, options, results);
    }
    for (std::size_t i = 0; i < results.size(); ++i) {
        if (results[i].converged) {
            fill_banks(*variants[i].intake, results[i]);
        }
    }
    return results;
}

EnsembleWidth ensemble_width(Precision precision, std::size_t variants, Instructions instructions) {
    const auto width = [](const auto& lanes) { return EnsembleWidth{lanes.name, lanes.width}; };
    return precision == Precision::float64 ? width(lanes_of<double>(instructions, variants))
                                           : width(lanes_of<float>(instructions, variants));
}

}  // namespace plenair
