#pragma once

#include "geometry/intake.hpp"
#include "solver/march/result.hpp"
#include "solver/network/network.hpp"
#include "solver/network/point.hpp"
#include "solver/network/scratch.hpp"

#include <cstddef>
#include <vector>

namespace plenair {

/// Where gas reaches the speed of sound over a cycle: ends and insides of parts, throttles, valves,
/// slot; at which crank angles, and how much of what a place passes goes through it then.
/// theory T49
class SonicWatch final {
public:
    SonicWatch(const Network& network, const geometry::Engine& engine, const OperatingPoint& point)
        : n_(network), engine_(engine), point_(point) {}

    /// Forgets all steps.
    void begin();
    /// One step of the cycle: `crank` the angle at its start [rad], `length` its time [s].
    void observe(const Snapshot& snapshot, double crank, double length);
    /// Every place that passes at least 2 % of its flow while it is sonic: below that it limits
    /// nothing.
    [[nodiscard]] std::vector<SonicSection> sections() const;

private:
    enum Place { at_start, at_end, start_opening, end_opening, inside, place_count };
    /// Record of one place.
    struct Record {
        std::vector<unsigned char> sonic;  ///< each step
        double passed = 0, passed_sonic = 0, back_sonic = 0;  ///< [kg], of cells relative
    };
    void note(Record& record, bool sonic, double mass);
    [[nodiscard]] bool limits(const Record& record) const;
    [[nodiscard]] SonicSection section(const Record& record, int cylinder) const;
    void find_chain(std::size_t chain, std::vector<SonicSection>& found) const;
    void find_passages(std::vector<SonicSection>& found) const;

    const Network& n_;
    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    std::vector<double> crank_, step_;  ///< of each step: its start and its length [rad]
    std::vector<Record> chains_;  ///< `place_count` a chain
    std::vector<Record> passages_;
    std::vector<int> fastest_;  ///< cell of each chain
    std::vector<double> peak_;  ///< its Mach number
};

}  // namespace plenair
