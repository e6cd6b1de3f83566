#pragma once

#include "geometry/intake.hpp"
#include "solver/march/point.hpp"
#include "solver/network/network.hpp"
#include "solver/network/scratch.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace plenair {

/// Where gas reaches the speed of sound over a cycle: ends and insides of parts, throttles, valves,
/// slot; at which crank angles, and how much of what a place passes goes through it then.
class SonicWatch final {
public:
    SonicWatch(const Network& network, const geometry::Engine& engine, const OperatingPoint& point)
        : n_(network), engine_(engine), point_(point) {}

    /// Forgets what it has seen.
    void begin();
    /// One step of the cycle: `crank` the angle at its start [rad], `length` its time [s].
    void look(const Snapshot& seen, double crank, double length);
    /// A sentence a place: part, place, crank angles and share of the flow. A place that passes
    /// less than 2 % of its flow while it is sonic limits nothing and is left out; cylinders alike
    /// share a sentence.
    [[nodiscard]] std::vector<std::string> sentences() const;

private:
    enum Place { at_start, at_end, start_opening, end_opening, inside, place_count };
    /// What one place has seen.
    struct Record {
        std::vector<unsigned char> sonic;  ///< each step
        double passed = 0, passed_sonic = 0, back_sonic = 0;  ///< [kg], of cells relative
    };
    /// One place in words, for cylinders to share.
    struct Finding {
        std::string head, tail;  ///< before and behind the numbers of cylinders
        int cylinder = 0;  ///< 0: none
        double from = 0, to = 0;  ///< [deg]
        bool always = false, again = false;  ///< all the cycle; at other angles too
        double share = 0;
        bool back = false;
    };

    void note(Record& record, bool sonic, double mass);
    [[nodiscard]] bool limits(const Record& record) const;
    [[nodiscard]] Finding finding(const Record& record, int cylinder) const;
    void find_chain(std::size_t chain, std::vector<Finding>& found) const;
    void find_slots(std::vector<Finding>& found) const;

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
