#pragma once

#include "geometry/intake.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/point.hpp"
#include "solver/march/result.hpp"

namespace plenair {

/// Marches one more cycle from a periodic state and fills a result from it: air of each cylinder,
/// losses, pressures along the parts, traces.
class ReportCycle final {
public:
    ReportCycle(const Network& network, const geometry::Engine& engine, const OperatingPoint& point)
        : n_(network), engine_(engine), point_(point) {}

    void fill(std::vector<double> state,
              const std::vector<int>& trapped_steps,
              bool traces,
              PointResult& result);

private:
    void watch(double step);
    void fill_profiles(const std::vector<double>& state, PointResult& result) const;
    void add_trace_sample(double time, PointResult& result) const;
    void name_traces(PointResult& result) const;

    const Network& n_;
    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    Snapshot seen_;
    std::vector<double> mean_, low_, high_, mouth_peak_;
    double slot_mach_ = 0;
};

}  // namespace plenair
