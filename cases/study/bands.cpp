#include "cases/study/bands.hpp"

#include "cases/study/band_sum.hpp"
#include "cases/study/entry.hpp"
#include "cases/study/verdict.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace plenair {

namespace {

using namespace study;

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

/// What is moved at a point for its bands. Results of the moved cases stand in the order of `at`.
class BandCauses final {
public:
    explicit BandCauses(const Case& c) : c_(c), entries_(coefficients(c)), laws_(alternatives(c)) {
        for (const auto& assumption : c.assumed) {
            if (assumption.end) {
                Assumed& assumed = assumed_.emplace_back();
                assumed.name = "assumed " + assumption.key;
                assumed.ends = {assumption.end(false), assumption.end(true)};
            }
        }
    }

    /// Coefficients at the low and the high end of their bands, assumed entries likewise, other
    /// laws.
    [[nodiscard]] std::vector<Shifted> at(const OperatingPoint& point, bool with_laws) const;

    [[nodiscard]] Bands sum(const PointResult& nominal,
                            std::vector<PointResult>& moved,
                            const PointResult& coarse) const;

    /// Of the low and the high end of coefficients and assumed entries.
    [[nodiscard]] MovedSpreads spreads(const std::vector<PointResult>& moved) const;

private:
    /// An assumed entry that states a band; ends are empty where they cannot be built.
    struct Assumed {
        std::string name;
        std::array<std::shared_ptr<const Case>, 2> ends;  ///< low, high
    };

    [[nodiscard]] std::size_t first_assumed() const { return 2 * entries_.size(); }
    [[nodiscard]] std::size_t first_law() const { return first_assumed() + 2 * assumed_.size(); }
    [[nodiscard]] Ends ends_of(const std::vector<PointResult>& moved, const std::string& key) const;
    void add_coefficients(const std::vector<PointResult>& moved,
                          const PointResult& nominal,
                          BandSum& bands) const;
    void add_correlations(const std::vector<PointResult>& moved, BandSum& bands) const;

    const Case& c_;
    std::vector<Entry> entries_;
    std::vector<Alternative> laws_;
    std::vector<Assumed> assumed_;
};

std::vector<Shifted> BandCauses::at(const OperatingPoint& point, bool with_laws) const {
    const auto as_it_is = [](const Case& c) { return Moved{c.model, c.intake, c.engine}; };
    std::vector<Shifted> moved;
    for (const auto& entry : entries_) {
        for (const bool high : {false, true}) {
            entry.set(moved.emplace_back(Shifted{as_it_is(c_), point}).parts,
                      high ? entry.high : entry.low);
        }
    }
    // Where the entry belongs to a point, that of the point's name: the case may hold some of the
    // points only, the ends hold all.
    const bool own = std::find(c_.points.begin(), c_.points.end(), point) != c_.points.end();
    const auto moved_point = [&](const Case& of) {
        const auto found =
            std::find_if(of.points.begin(), of.points.end(), [&](const OperatingPoint& each) {
                return own && each.name == point.name;
            });
        return found == of.points.end() ? point : *found;
    };
    for (const auto& band : assumed_) {
        for (const auto& end : band.ends) {
            // One that cannot be built is solved as it is, and left out of the sum.
            const Case& of = end ? *end : c_;
            moved.push_back({as_it_is(of), moved_point(of)});
        }
    }
    for (const auto& law : laws_) {
        if (with_laws) {
            law.set(moved.emplace_back(Shifted{as_it_is(c_), point, law.apart}).parts);
        }
    }
    return moved;
}

Ends BandCauses::ends_of(const std::vector<PointResult>& moved, const std::string& key) const {
    const auto found = std::find_if(
        entries_.begin(), entries_.end(), [&key](const Entry& entry) { return entry.key == key; });
    const auto k = static_cast<std::size_t>(found - entries_.begin());
    return {&moved[2 * k], &moved[2 * k + 1]};
}

/// The larger move of two ends, number by number.
BandPart larger_end(const std::string& name,
                    const Ends& ends,
                    const PointResult& nominal,
                    BandSum& bands) {
    BandPart largest{.name = name};
    for (const PointResult* end : {ends.first, ends.second}) {
        if (end->converged) {
            join(largest, moves("", *end, nominal), [](double a, double b) {
                return std::max(a, b);
            });
        } else {
            bands.leave_out(end_of(name, end == ends.second));
        }
    }
    return largest;
}

void BandCauses::add_coefficients(const std::vector<PointResult>& moved,
                                  const PointResult& nominal,
                                  BandSum& bands) const {
    for (std::size_t k = 0; k < entries_.size(); ++k) {
        const Entry& entry = entries_[k];
        BandPart largest =
            larger_end(entry.label, {&moved[2 * k], &moved[2 * k + 1]}, nominal, bands);
        if (entry.key == "valve.coefficient") {
            bands.add(scatter(c_, entry, largest, nominal.cylinders.size()));
        }
        const double half = 0.5 * (entry.high - entry.low);
        bands.add(std::move(largest), half > 0 ? entry.prior_half / half : 1.0);
    }
}

void BandCauses::add_correlations(const std::vector<PointResult>& moved, BandSum& bands) const {
    for (std::size_t i = 1; i < c_.learned.size(); ++i) {
        for (std::size_t j = 0; j < c_.learned[i].correlation.size(); ++j) {
            const auto a = ends_of(moved, c_.learned[i].key);
            const auto b = ends_of(moved, c_.learned[j].key);
            if (a.first->converged && a.second->converged && b.first->converged &&
                b.second->converged) {
                bands.add_correlation(c_.learned[i].correlation[j], a, b);
            }
        }
    }
}

Bands BandCauses::sum(const PointResult& nominal,
                      std::vector<PointResult>& moved,
                      const PointResult& coarse) const {
    BandSum bands(nominal);
    add_coefficients(moved, nominal, bands);
    add_correlations(moved, bands);
    for (std::size_t k = 0; k < laws_.size(); ++k) {
        PointResult& r = moved[first_law() + k];
        if (r.converged) {
            bands.add_choice(laws_[k].label, std::move(r));
        } else {
            bands.leave_out("other " + laws_[k].label);
        }
    }
    for (std::size_t k = 0; k < assumed_.size(); ++k) {
        const std::size_t low = first_assumed() + 2 * k;
        for (const std::size_t end : {0u, 1u}) {
            moved[low + end].converged =
                moved[low + end].converged && assumed_[k].ends[end] != nullptr;
        }
        bands.add(larger_end(assumed_[k].name, {&moved[low], &moved[low + 1]}, nominal, bands));
    }
    BandPart cells;
    if (coarse.converged) {
        cells = moves("cells and steps", coarse, nominal);
        bands.add(cells);
    } else {
        bands.leave_out("cells and steps");
    }
    Bands result = bands.result();
    result.cells = std::move(cells);
    return result;
}

MovedSpreads BandCauses::spreads(const std::vector<PointResult>& moved) const {
    MovedSpreads spreads;
    for (std::size_t k = 0; k < first_law(); k += 2) {
        auto& both = spreads.emplace_back();
        for (const std::size_t end : {0u, 1u}) {
            if (moved[k + end].converged) {
                both[end] = moved[k + end].spread;
            }
        }
    }
    return spreads;
}

std::vector<NearPoint> converged_ones(std::span<const NearPoint> points) {
    std::vector<NearPoint> found;
    std::copy_if(points.begin(), points.end(), std::back_inserter(found), [](const NearPoint& p) {
        return p.result->converged;
    });
    return found;
}

}  // namespace

std::vector<Bands> bands_of(const Case& c, std::span<const NearPoint> points, int threads) {
    const auto known = converged_ones(points);
    const BandCauses causes(c);
    auto [moved, coarse] = solve_band_points(
        c, known, [&](const OperatingPoint& point) { return causes.at(point, true); }, threads);
    std::vector<Bands> bands;
    std::size_t k = 0;
    for (const NearPoint& point : points) {
        if (point.result->converged) {
            bands.push_back(causes.sum(*point.result, moved[k], coarse[k]));
            ++k;
        } else {
            bands.emplace_back();
        }
    }
    return bands;
}

void add_bands(Bands bands, PointResult& result) {
    result.bias_band = bands.sum.bias;
    result.spread_band = bands.sum.spread;
    result.air_band = bands.sum.air;
    result.slot_loss_band = bands.sum.slot_loss;
    result.band_parts = std::move(bands.parts);
    if (bands.before.bias > 0) {
        result.notes.push_back(narrowed_words(bands));
    }
    if (bands.cells.bias > aimed_cells_bias || bands.cells.air > aimed_cells_air) {
        result.notes.push_back(cells_words(bands));
    }
    for (auto& note : bands.left_out) {
        result.notes.push_back(std::move(note));
    }
}

std::vector<MovedSpreads> moved_spreads(const Case& c,
                                        std::span<const NearPoint> points,
                                        int threads) {
    const auto known = converged_ones(points);
    const BandCauses causes(c);
    const auto moved = solve_moved(
        c, known, [&](const OperatingPoint& point) { return causes.at(point, false); }, threads);
    std::vector<MovedSpreads> spreads;
    std::size_t k = 0;
    for (const NearPoint& point : points) {
        spreads.push_back(point.result->converged ? causes.spreads(moved[k++]) : MovedSpreads{});
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
