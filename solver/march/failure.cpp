#include "solver/march/failure.hpp"

#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/not_an_engine.hpp"
#include "solver/march/openings.hpp"

#include <algorithm>
#include <cmath>
#include <cstdarg>
#include <cstdio>
#include <numbers>

namespace plenair {

namespace {

[[gnu::format(printf, 1, 2)]] std::string print(const char* format, ...) {
    char text[400];
    va_list values;
    va_start(values, format);
    std::vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return text;
}

const Chain* chain_of(const Network& n, int cell) {
    for (const Chain& chain : n.chains) {
        if (cell >= chain.first && cell < chain.first + chain.count) {
            return &chain;
        }
    }
    return nullptr;
}

std::string place(const Network& n, int cell) {
    const Chain* chain = chain_of(n, cell);
    return chain == nullptr ? "nowhere"
                            : print("the %s, at %.0f %% of its length",
                                    chain->name.c_str(),
                                    100.0 * (cell - chain->first + 0.5) / chain->count);
}

std::string percent(double ratio) {
    return std::isfinite(ratio) ? print("%.2g %%", 100.0 * ratio) : "an unknown error";
}

std::string area_text(double area) {
    const double step = area < 1e-5 ? 1e-8 : 1e-6;
    return geometry::format_quantity(std::round(area / step) * step, geometry::Dimension::area);
}

/// What has not settled.
std::string restless(const Network& n, const ShareError& estimate) {
    if (estimate.still_air_dominates()) {
        return print("the air of %s still %s by %.2g K a cycle",
                     place(n, estimate.cell()).c_str(),
                     estimate.warming() < 0.0 ? "cools" : "warms",
                     std::abs(estimate.warming()));
    }
    if (estimate.cylinder() >= 0) {
        return print("the air of cylinder %d still changes by %s from cycle to cycle",
                     estimate.cylinder() + 1,
                     percent(estimate.trapped()).c_str());
    }
    return "no two cycles could be compared";
}

/// What was measured to help: walls that exchange heat with still air.
std::string remedy(const Network& n, const ShareError& estimate) {
    const Chain* chain = chain_of(n, estimate.cell());
    if (estimate.still_air_dominates() && chain != nullptr && !chain->has_heat) {
        const bool runner = chain->end == EndKind::valve;
        const bool plenum = geometry::is_plenum(chain->name);
        const char* key = runner ? "runner" : plenum ? "plenum" : "pre_chamber";
        return print(
            "no wall exchanges heat with it: give %s.wall_temperature, or raise "
            "model.max_cycles",
            key);
    }
    return "raise model.max_cycles";
}

}  // namespace

std::string not_periodic(const Network& n,
                         const PointResult& last,
                         double share_error,
                         const ShareError& estimate) {
    const std::string head = print("not periodic after %d cycles: ", last.cycles);
    const bool shares = share_error < n.model.tolerance;
    if (shares) {
        return head + print(
                          "its shares are known to %s, but source and cylinders still differ by "
                          "%.1g of the flow, since the intake fills or empties; raise "
                          "model.max_cycles",
                          percent(share_error).c_str(),
                          last.flow_balance);
    }
    return head + print("shares known to %s only, %s wanted; %s; %s",
                        percent(share_error).c_str(),
                        percent(n.model.tolerance).c_str(),
                        restless(n, estimate).c_str(),
                        remedy(n, estimate).c_str());
}

std::string not_running(const Network& n, int cycles, double drawn) {
    const Openings open_to = openings(n);
    std::string text = print(
        "not a running engine: after %d cycles it draws %.1f %% of what its pistons displace (%.0f "
        "%% is idling) and its intake is still filling with what blows back; ",
        cycles,
        100.0 * std::max(drawn, 0.0),
        100.0 * least_efficiency);
    text += "effective areas: throttle " + area_text(open_to.feed);
    if (open_to.slot > 0.0) {
        text += ", slot " + area_text(open_to.slot);
    }
    const auto valves = [&](const std::vector<double>& column) {
        return area_text(mean_open_area(n.crank, column, n.layout.cylinders));
    };
    return text + print(
                      ", valves of a cylinder while open: intake %s, exhaust %s; "
                      "the exhaust stands at %.2f times the pressure before the throttle; open "
                      "what is narrow, or lower the exhaust pressure or the speed",
                      valves(n.crank.intake).c_str(),
                      valves(n.crank.exhaust).c_str(),
                      n.exhaust.pressure / n.source.pressure);
}

std::string known_only_to(const Network& n,
                          const PointResult& last,
                          double share_error,
                          const ShareError& estimate) {
    return print("shares are known to %s only, %s was wanted: after %d cycles %s; %s",
                 percent(share_error).c_str(),
                 percent(n.model.tolerance).c_str(),
                 last.cycles,
                 restless(n, estimate).c_str(),
                 remedy(n, estimate).c_str());
}

std::string not_physical(const Network& n, const Lost& lost, double speed, int cycle) {
    std::string text = print("the march left physical states in cycle %d", cycle);
    const double degrees = (n.crank.start_angle + lost.time * speed) * 180.0 / std::numbers::pi;
    if (lost.cell >= 0) {
        text += print(" at crank angle %.0f deg (after firing TDC of cylinder 1) in %s",
                      std::fmod(degrees + 1440.0, 720.0),
                      place(n, lost.cell).c_str());
        const Chain* chain = chain_of(n, lost.cell);
        if (chain != nullptr && chain->end == EndKind::valve) {
            text += print(" (cylinder %d)", chain->cylinder + 1);
        }
    } else if (lost.cylinder >= 0) {
        text += print(" at crank angle %.0f deg (after firing TDC of cylinder 1) in cylinder %d",
                      std::fmod(degrees + 1440.0, 720.0),
                      lost.cylinder + 1);
    }
    if (lost.fastest_cell >= 0) {
        text += print("; the largest Mach number just before was %.2f in %s",
                      lost.mach,
                      place(n, lost.fastest_cell).c_str());
    }
    return text +
           "; tried from still gas, with shorter steps and from coarse cells; check pressures, "
           "valve "
           "timing and sections there, or lower model.courant";
}

}  // namespace plenair
