#pragma once

#include "cases/study/moved_points.hpp"
#include "solver/march/result.hpp"
#include "solver/network/builder.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace plenair {

struct Case;

/// Bands of a point and what they consist of.
struct Bands {
    BandPart sum;  ///< root sum of squares of the parts; zero where not computed
    std::vector<BandPart> parts;  ///< largest first
    BandPart before;  ///< the sum if nothing had been learned; zero where nothing was
    BandPart cells;  ///< what cells of twice the length move; zero where not computed
    std::vector<std::string> left_out;  ///< ends that did not converge, one sentence each
};

/// Half widths at 95 % of what is computed for each point. Independent causes, added as root sum of
/// squares; each with its largest change of any cylinder's bias:
/// - each coefficient at both ends of its published band (docs/theory.md);
/// - each choice between published laws (study/entry.hpp), by what the other law would give;
/// - cells and steps, by what cells of twice the length give: an error of first order is as large
/// as that, one of a higher order smaller;
/// - scatter of ports and valves from cylinder to cylinder (`engine.port_scatter`): a cylinder's
/// air follows its own effective valve area as that of all follows all;
/// - each assumed entry that states a band, at both its ends.
/// Of coefficients of which something was learned (Case::learned) the ends are those of the
/// posterior and their correlations count: half widths m_k, correlations r_kl, sum of m_k^2 + 2
/// r_kl m_k m_l. A choice between two published laws (study/entry.hpp) is no spread about a value:
/// either may be right, as likely as the other, and the band holds 95 % of both together. Zero
/// where a point did not converge. Points along a curve, of ascending speeds, are solved together.
[[nodiscard]] std::vector<Bands> bands_of(const Case& c,
                                          std::span<const study::NearPoint> points,
                                          int threads = 1);

/// Writes bands into their point; ends that did not converge become its notes.
void add_bands(Bands bands, PointResult& result);

/// Band of the shares of a bench set-up.
struct BenchBand {
    double half_width = 0;  ///< [-], 0 where not computed
    std::vector<std::string> left_out;  ///< ends that did not converge, one sentence each
};

/// Coefficients moved for the shares of a bench set-up: of its runners, its holes or along its
/// slot. Zero for a single runner.
[[nodiscard]] BenchBand bench_band(const Case& c,
                                   const BenchSettings& settings,
                                   const BenchParts& parts,
                                   const BenchResult& nominal);

/// Spread with each coefficient at the low and the high end of its band; empty where that did not
/// converge.
using MovedSpreads = std::vector<std::array<std::optional<double>, 2>>;

/// One of these for each coefficient that has a band, at each point. [-]
[[nodiscard]] std::vector<MovedSpreads> moved_spreads(const Case& c,
                                                      std::span<const study::NearPoint> points,
                                                      int threads = 1);

/// Half width of the band of the difference between two spreads: what moves both alike leaves it
/// alone. Largest change of the difference for each coefficient, added as root sum of squares. [-]
[[nodiscard]] double difference_band(double first_spread,
                                     const MovedSpreads& first_moved,
                                     double second_spread,
                                     const MovedSpreads& second_moved);

}  // namespace plenair
