#include "cases/study/bands.hpp"

#include "solver/ensemble/ensemble.hpp"
#include "solver/laws/mouth.hpp"
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
constexpr double slot_doubt = 0.05;  // of a discharge coefficient (docs/theory.md)
constexpr double throttle_doubt = 0.10;
constexpr double mouth_doubt = 0.035;  // of 1/sqrt(1 + K0): scatter of six published laws
constexpr double valve_doubt = 0.05;  // in units of the coefficient (Annand and Roe 1974, memory)

struct Moved {
    Model model;
    geometry::Intake intake;
    geometry::Engine engine;
};

/// Moves one coefficient of a variant to an end of its band.
struct Change {
    std::string name;
    std::function<void(Moved&, bool high)> move;
    bool bench = true;  ///< matters without an engine
};

double factor(double doubt, bool high) {
    return high ? 1.0 + doubt : 1.0 - doubt;
}

void scale_slots(Moved& v, bool high) {
    for (auto& bank : v.intake.banks) {
        if (!bank.slot) {
            continue;
        }
        // Cd and width enter the flow as one product; a change of width stands for one of Cd.
        for (auto& piece : bank.slot->pieces) {
            std::vector<double> width = piece.width.value();
            for (double& w : width) {
                w *= factor(slot_doubt, high);
            }
            piece.width = geometry::Profile::stations(piece.width.x(), width);
        }
        for (auto& hole : bank.slot->holes) {
            hole.area *= factor(slot_doubt, high);
        }
    }
}

void scale_throttles(Moved& v, bool high) {
    for (auto& bank : v.intake.banks) {
        for (auto& throttle : bank.throttles) {
            throttle.cd = std::min(throttle.cd * factor(throttle_doubt, high), 1.0);
            if (throttle.cd_table) {
                for (double& cd : throttle.cd_table->cd) {
                    cd = std::min(cd * factor(throttle_doubt, high), 1.0);
                }
            }
        }
    }
}

void scale_mouths(Moved& v, bool high) {
    for (auto& bank : v.intake.banks) {
        for (auto& runner : bank.runners) {
            const double loss =
                runner.entry_loss ? *runner.entry_loss
                : v.model.entry_loss
                    ? *v.model.entry_loss
                    : laws::mouth_loss(runner.bell_radius / runner.mouth_diameter());
            const double less = factor(mouth_doubt, !high);
            runner.entry_loss = std::max((1.0 + loss) / (less * less) - 1.0, 0.0);
        }
    }
}

void shift_valves(Moved& v, bool high) {
    for (auto* valve : {&v.engine.intake, &v.engine.exhaust}) {
        for (double& cd : valve->cd.cd) {
            cd = std::clamp(cd + (high ? valve_doubt : -valve_doubt), 0.5 * cd, 1.0);
        }
    }
}

std::vector<Change> changes() {
    return {
        {"regain", [](Moved& v, bool high) { v.model.regain = high ? 1.20 : 0.90; }},
        {"cross-flow loss", [](Moved& v, bool high) { v.model.crossflow_loss = high ? 1.0 : 0.6; }},
        {"mixing length", [](Moved& v, bool high) { v.model.mixing_length = high ? 4.3 : 2.6; }},
        {"slot coefficient", scale_slots},
        {"throttle coefficient", scale_throttles},
        {"entry loss", scale_mouths},
        {"valve coefficient", shift_valves, false}};
}

/// Every coefficient at both ends of its band, side by side where the engine stays the same. The
/// ends begin from `start`, the state of the point itself, if it is given.
std::vector<std::array<PointResult, 2>> solve_moved(const Case& c,
                                                    const OperatingPoint& point,
                                                    const std::vector<double>* start,
                                                    int start_age) {
    const auto all = changes();
    std::vector<Moved> moved;
    moved.reserve(2 * all.size());
    std::vector<Variant> together;
    for (const auto& change : all) {
        for (const bool high : {false, true}) {
            Moved& v = moved.emplace_back(Moved{c.model, c.intake, c.engine});
            v.model.tolerance = std::max(c.model.tolerance, band_tolerance);
            change.move(v, high);
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
    const auto all = changes();
    const auto moved = solve_moved(c, point, start, nominal.cycles);
    for (std::size_t k = 0; k < all.size(); ++k) {
        double largest = 0.0;
        for (const std::size_t end : {0u, 1u}) {
            const PointResult& r = moved[k][end];
            if (r.converged) {
                largest = std::max(largest, largest_move(biases(r), biases(nominal)));
            } else {
                band.leave_out(all[k].name, end == 1);
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
    for (const auto& change : changes()) {
        if (!change.bench) {
            continue;
        }
        double largest = 0.0;
        for (const bool high : {false, true}) {
            Moved v{c.model, c.intake, c.engine};
            change.move(v, high);
            const BenchResult r = solve_bench(v.intake, settings, v.model, parts);
            if (r.converged) {
                largest = std::max(largest, largest_move(shares(r), shares(nominal)));
            } else {
                band.leave_out(change.name, high);
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
