#include "solver/ensemble/ensemble.hpp"

#include "geometry/error.hpp"
#include "solver/cylinder/crank_table.hpp"
#include "solver/ensemble/lane_ensemble.hpp"
#include "solver/ensemble/warm_start.hpp"
#include "solver/march/coarse_start.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/cycle_summary.hpp"
#include "solver/network/builder.hpp"
#include "solver/network/transfer.hpp"

#include <algorithm>
#include <type_traits>
#include <utility>

namespace plenair {

namespace {

using Jobs = std::vector<std::unique_ptr<Job>>;

/// What a job needs of a crank table: steps and intake areas, and the first row of the rest for its
/// still gas. The lanes make their own; a whole one would be most of a job's memory.
CrankTable short_table(const SharedPoint& shared) {
    CrankTable table =
        make_crank_table(shared.engine, shared.point, first_table_step(shared.point));
    for (const auto member : CrankTable::members()) {
        if (member != &CrankTable::intake) {
            (table.*member).resize(static_cast<std::size_t>(table.cylinders));
            (table.*member).shrink_to_fit();
        }
    }
    return table;
}

/// Builds jobs from variants; the tables of gas and friction are those of the first one built.
class JobMaker final {
public:
    explicit JobMaker(const SharedPoint& shared)
        : shared_(shared), first_table_(short_table(shared)) {}

    /// @throws InputError where the parts cannot be built
    std::unique_ptr<Job> make(std::size_t index, const geometry::Intake& intake, const Model& m) {
        const Network* like = like_.chains.empty() ? nullptr : &like_;
        auto job = std::make_unique<Job>();
        job->index = index;
        job->network = build_engine(intake, shared_.engine, shared_.point, m, like);
        if (like == nullptr) {
            like_ = job->network;
        }
        job->network.crank = first_table_;
        job->still = initial_state(job->network);
        job->still_rate = fastest_rate(job->network, job->still);
        job->rate = rate_rung(expected_rate(job->network, job->still, shared_.point));
        return job;
    }

private:
    const SharedPoint& shared_;
    CrankTable first_table_;
    Network like_;
};

template <class T>
const LaneKernels<T>& lanes_of(Instructions instructions, std::size_t variants) {
    const auto* chosen = instructions == Instructions::avx2       ? avx2_lanes<T>()
                         : instructions == Instructions::portable ? portable_lanes<T>()
                                                                  : nullptr;
    return chosen != nullptr ? *chosen : best_lanes<T>(variants);
}

template <class T>
void run(LaneEnsemble<T>& lanes, const LaneKernels<T>& kernels, Jobs& jobs) {
    for (auto& job : jobs) {
        lanes.add(std::move(job));
    }
    jobs.clear();
    lanes.run(kernels);
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
        job.rate = same_cells ? from.rate : rate_of_waves(job.network, from.waves);
    }
}

Jobs::iterator find(Jobs& jobs, std::size_t index) {
    return std::find_if(
        jobs.begin(), jobs.end(), [&](const auto& job) { return job->index == index; });
}

/// Marches jobs in search lanes to where they are worth beginning from.
void start_from_search(const SharedPoint& shared,
                       Instructions instructions,
                       Jobs starts,
                       Jobs& jobs) {
    std::vector<PointResult> unused;
    for (const auto& start : starts) {
        unused.resize(std::max(unused.size(), start->index + 1));
    }
    LaneEnsemble<float> lanes(shared, {false, 1, true}, unused);
    run(lanes, lanes_of<float>(instructions, starts.size()), starts);
    for (const Finished& finished : lanes.take_finished()) {
        const auto job = find(jobs, finished.index);
        if (job != jobs.end()) {
            begin_from(finished, **job);
        }
    }
}

/// Fastest wave of a running engine over that of still gas, for starts.
constexpr double first_coarse_rate = 1.2;

/// First coarse cells in search lanes, from still gas.
void coarse_starts(const SharedPoint& shared,
                   Instructions instructions,
                   std::span<const Variant> variants,
                   JobMaker& maker,
                   Jobs& jobs) {
    Jobs starts;
    for (const auto& job : jobs) {
        const Variant& v = variants[job->index];
        try {
            auto coarse = maker.make(job->index, *v.intake, coarse_model(*v.model));
            if (worth_a_start(coarse->network, job->network)) {
                // A second table of steps would cost more than a few steps too many.
                coarse->rate = rate_rung(first_coarse_rate * coarse->still_rate);
                starts.push_back(std::move(coarse));
            }
        } catch (const InputError&) {
            continue;  // what cannot be cut coarsely begins from still gas
        }
    }
    start_from_search(shared, instructions, std::move(starts), jobs);
}

/// Then the cells of the answer, still in search lanes: half the price of double ones.
void search_starts(const SharedPoint& shared, Instructions instructions, Jobs& jobs) {
    Jobs starts;
    for (const auto& job : jobs) {
        auto start = std::make_unique<Job>();
        start->index = job->index;
        start->network = job->network;
        start->network.model = search_model(job->network.model);
        start->still = job->still;
        start->still_rate = job->still_rate;
        start->start = job->start;
        start->rate = job->rate;
        starts.push_back(std::move(start));
    }
    start_from_search(shared, instructions, std::move(starts), jobs);
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

/// Jobs that begin from still gas although warm starts are wanted: the rest begins between them.
constexpr std::size_t first_starts = 16;

template <class T>
void solve_all(std::span<const Variant> variants,
               const SharedPoint& shared,
               const EnsembleOptions& options,
               std::vector<PointResult>& results) {
    JobMaker maker(shared);
    const auto places = places_of(variants);
    Jobs jobs;
    for (const std::size_t i : farthest_first(places)) {
        try {
            auto job = maker.make(i, *variants[i].intake, *variants[i].model);
            job->place = places[i];
            if (options.start != nullptr && options.start->size() == job->still.size()) {
                job->start.state = *options.start;
                job->start.age = options.start_age;
            }
            jobs.push_back(std::move(job));
        } catch (const InputError& error) {
            results[i].failure = error.what();
        }
    }
    LaneEnsemble<T> lanes(shared, {options.warm, options.min_cycles, false}, results);
    if (options.coarse_start && options.start == nullptr) {
        const auto cold = static_cast<std::ptrdiff_t>(
            options.warm ? std::min(jobs.size(), first_starts) : jobs.size());
        Jobs first(std::make_move_iterator(jobs.begin()),
                   std::make_move_iterator(jobs.begin() + cold));
        jobs.erase(jobs.begin(), jobs.begin() + cold);
        coarse_starts(shared, options.instructions, variants, maker, first);
        if constexpr (std::is_same_v<T, double>) {
            search_starts(shared, options.instructions, first);
        }
        run(lanes, lanes_of<T>(options.instructions, first.size()), first);
    }
    run(lanes, lanes_of<T>(options.instructions, jobs.size()), jobs);
}

}  // namespace

std::vector<PointResult> solve_ensemble(std::span<const Variant> variants,
                                        const geometry::Engine& engine,
                                        const OperatingPoint& point,
                                        const EnsembleOptions& options) {
    std::vector<PointResult> results(variants.size());
    for (PointResult& r : results) {
        fill_point(point, r);
    }
    const SharedPoint shared{engine, point};
    if (options.precision == Precision::full) {
        solve_all<double>(variants, shared, options, results);
    } else {
        solve_all<float>(variants, shared, options, results);
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
    return precision == Precision::full ? width(lanes_of<double>(instructions, variants))
                                        : width(lanes_of<float>(instructions, variants));
}

}  // namespace plenair
