#pragma once

#include "geometry/intake.hpp"
#include "solver/march/bank_losses.hpp"
#include "solver/march/cycle_map.hpp"
#include "solver/march/result.hpp"
#include "solver/march/sonic.hpp"
#include "solver/network/point.hpp"

namespace plenair {

/// A cycle that is watched while it is marched, and fills a result once it proved periodic: air of
/// each cylinder, losses, pressures along the parts, traces.
class ReportCycle final {
public:
    ReportCycle(const Network& network,
                const geometry::Engine& engine,
                const OperatingPoint& point,
                bool traces)
        : n_(network),
          engine_(engine),
          point_(point),
          with_traces_(traces),
          sonic_(network, engine, point),
          bank_losses_(network) {}

    /// Marches `state` through one cycle as CycleMap::march does.
    bool march(CycleMap& map,
               std::vector<double>& state,
               const std::vector<int>& trapped_steps,
               PassiveTransport* carried = nullptr);
    /// Result of the cycle that was marched last and ended in `state`.
    void fill(const CycleMap& map, const std::vector<double>& state, PointResult& result);
    /// Losses of each of several banks. @pre fill, and the banks are filled
    void share_losses(PointResult& result) const { bank_losses_.share(result); }
    /// Traces alone, of a cycle that may have been lost on its way.
    void fill_traces(PointResult& result);

private:
    void watch(double step);
    void fill_profiles(const std::vector<double>& state, PointResult& result) const;
    void add_trace_sample(double time);
    void name_traces();

    const Network& n_;
    const geometry::Engine& engine_;
    const OperatingPoint& point_;
    bool with_traces_;
    std::vector<double> crank_angle_;
    std::vector<Trace> traces_;
    Snapshot snapshot_;
    SonicWatch sonic_;
    BankLosses bank_losses_;
    std::vector<double> mean_, low_, high_, mouth_peak_;
    double slot_mach_ = 0;
};

}  // namespace plenair
