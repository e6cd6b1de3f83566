#include "cases/study/bands.hpp"

#include "cases/study/entry.hpp"
#include "solver/ensemble/ensemble.hpp"
#include "solver/march/cycle.hpp"
#include "solver/march/steady.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

namespace plenair {

namespace {

// A band is read to a tenth of a percent: its points need not be as periodic as the answer itself.
constexpr double band_tolerance = 1e-4;

/// Every coefficient at both ends of its band, side by side where the engine stays the same. The
/// ends begin from `start`, the state of the point itself, if it is given.
std::vector<std::array<PointResult, 2>> solve_moved(const Case& c,
                                                    const OperatingPoint& point,
                                                    const std::vector<double>* start,
                                                    int start_age) {
    const auto all = coefficients(c);
    std::vector<Moved> moved;
    moved.reserve(2 * all.size());
    std::vector<Variant> together;
    for (const auto& entry : all) {
        for (const bool high : {false, true}) {
            Moved& v = moved.emplace_back(Moved{c.model, c.intake, c.engine});
            v.model.tolerance = std::max(c.model.tolerance, band_tolerance);
            entry.set(v, high ? entry.high : entry.low);
        }
    }
    EnsembleOptions options;
    options.start = start;
    options.start_age = start_age;
    std::vector<std::array<PointResult, 2>> results(all.size());
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < moved.size(); ++i) {
        if (moved[i].engine == c.engine) {
            together.push_back({&moved[i].intake, &moved[i].model});
            order.push_back(i);
        } else {
            CycleOptions alone;
            alone.min_cycles = 1;
            alone.start = start;
            alone.start_age = start_age;
            results[i / 2][i % 2] =
                solve_point(moved[i].intake, moved[i].engine, point, moved[i].model, alone);
        }
    }
    auto side_by_side = solve_ensemble(together, c.engine, point, options);
    for (std::size_t k = 0; k < order.size(); ++k) {
        results[order[k] / 2][order[k] % 2] = std::move(side_by_side[k]);
    }
    return results;
}

/// Collects the largest move of each coefficient and adds them.
class BandSum final {
public:
    void add(double largest) { sum_ += largest * largest; }
    void leave_out(const std::string& name, bool high) {
        band_.left_out.push_back(std::string("the band is without the ") + (high ? "high" : "low") +
                                 " end of the " + name + ": it did not converge");
    }
    [[nodiscard]] Band result() {
        band_.half_width = std::sqrt(sum_);
        return band_;
    }

private:
    Band band_;
    double sum_ = 0;
};

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

Band bias_band(const Case& c,
               const OperatingPoint& point,
               const PointResult& nominal,
               const std::vector<double>* start) {
    if (!nominal.converged) {
        return {};
    }
    const auto biases = [](const PointResult& r) {
        std::vector<double> bias;
        for (const auto& cylinder : r.cylinders) {
            bias.push_back(cylinder.bias);
        }
        return bias;
    };
    BandSum band;
    const auto all = coefficients(c);
    const auto moved = solve_moved(c, point, start, nominal.cycles);
    for (std::size_t k = 0; k < all.size(); ++k) {
        double largest = 0.0;
        for (const std::size_t end : {0u, 1u}) {
            const PointResult& r = moved[k][end];
            if (r.converged) {
                largest = std::max(largest, largest_move(biases(r), biases(nominal)));
            } else {
                band.leave_out(all[k].label, end == 1);
            }
        }
        band.add(largest);
    }
    return band.result();
}

Band bench_band(const Case& c,
                const BenchSettings& settings,
                const BenchParts& parts,
                const BenchResult& nominal) {
    if (!nominal.converged || parts.open_runner >= 0) {
        return {};
    }
    BandSum band;
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
                band.leave_out(entry.label, high);
            }
        }
        band.add(largest);
    }
    return band.result();
}

MovedSpreads moved_spreads(const Case& c, const OperatingPoint& point) {
    MovedSpreads spreads;
    for (const auto& moved : solve_moved(c, point, nullptr, 0)) {
        auto& ends = spreads.emplace_back();
        for (const std::size_t end : {0u, 1u}) {
            if (moved[end].converged) {
                ends[end] = moved[end].spread;
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
