#include "cases/study/measured.hpp"

#include "solver/gas/air.hpp"
#include "solver/laws/orifice.hpp"

#include <array>
#include <cmath>
#include <numeric>
#include <string_view>
#include <utility>

namespace plenair {

double GaugeReading::mean() const {
    return value.empty() ? 0.0
                         : std::accumulate(value.begin(), value.end(), 0.0) /
                               static_cast<double>(value.size());
}

std::size_t EngineReading::lambda_count() const {
    std::size_t count = 0;
    for (const auto& l : lambda) {
        count += l ? 1 : 0;
    }
    return count;
}

std::size_t Measured::reading_count() const {
    std::size_t count = 0;
    for (const auto& b : bench) {
        count += b.count();
    }
    for (const auto& gauge : gauges) {
        count += gauge.value.size();
    }
    for (const auto& e : engine) {
        count += e.lambda_count() + (e.air_flow ? 1 : 0) + (e.plenum_pressure ? 1 : 0);
        for (const auto& t : e.exhaust_temperature) {
            count += t ? 1 : 0;
        }
    }
    return count + (injectors ? injectors->flow.size() : 0);
}

namespace usual {

std::optional<double> gauge(const std::string& instrument) {
    constexpr std::array<std::pair<std::string_view, double>, 6> known{{{"pin gauge", 1e-5},
                                                                        {"micrometer", 1e-5},
                                                                        {"bore gauge", 1e-5},
                                                                        {"calliper", 5e-5},
                                                                        {"radius gauge", 1e-4},
                                                                        {"rule", 5e-4}}};
    for (const auto& [name, half] : known) {
        if (name == instrument) {
            return half;
        }
    }
    return std::nullopt;
}

}  // namespace usual

double ideal_flux(double pressure, double temperature, double gas_constant, double depression) {
    return pressure / std::sqrt(gas_constant * temperature) *
           laws::psi_exact(1.0 - depression / pressure, gas::air_gamma);
}

double ideal_flux(const BenchReading& r) {
    return ideal_flux(r.barometer, r.temperature, r.gas_constant, r.depression);
}

double at_depression(const BenchReading& r, double depression) {
    const double there = ideal_flux(r.barometer, r.temperature, r.gas_constant, depression);
    return r.flow() / r.density * there / ideal_flux(r);
}

}  // namespace plenair
