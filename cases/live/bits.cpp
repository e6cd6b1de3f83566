#include "cases/live/answer.hpp"
#include "cases/study/sha256.hpp"

#include <bit>
#include <cstdint>

namespace plenair {

namespace {

/// The bytes of numbers in a fixed order, whatever the machine's own.
class Bytes final {
public:
    void add(double value) { add(std::bit_cast<std::uint64_t>(value)); }
    void add(int value) { add(static_cast<std::uint64_t>(static_cast<std::int64_t>(value))); }
    void add(const std::vector<double>& values) {
        add(static_cast<std::uint64_t>(values.size()));
        for (const double value : values) {
            add(value);
        }
    }
    void add(const std::string& text) {
        add(static_cast<std::uint64_t>(text.size()));
        bytes_ += text;
    }
    [[nodiscard]] std::string digest() const { return sha256(bytes_); }

private:
    void add(std::uint64_t bits) {
        for (int byte = 0; byte < 8; ++byte) {
            bytes_ += static_cast<char>(bits >> (8 * byte) & 0xffU);
        }
    }
    std::string bytes_;
};

void add_cylinder(Bytes& bytes, const CylinderResult& c) {
    bytes.add(c.cylinder);
    bytes.add(c.firing_position);
    for (const double value : {c.air_delivered,
                               c.air_trapped,
                               c.share,
                               c.bias,
                               c.residual_fraction,
                               c.mouth_velocity_peak}) {
        bytes.add(value);
    }
}

void add_point(Bytes& bytes, const PointResult& p) {
    bytes.add(p.name);
    bytes.add(p.converged ? 1 : 0);
    bytes.add(p.cycles);
    for (const double value : {p.speed,
                               p.source_pressure,
                               p.source_temperature,
                               p.periodic_residual,
                               p.mass_balance,
                               p.energy_balance,
                               p.fresh_air_balance,
                               p.flow_balance,
                               p.air_flow,
                               p.volumetric_efficiency,
                               p.spread,
                               p.end_bias,
                               p.throttle_loss,
                               p.slot_loss,
                               p.mouth_loss,
                               p.port_loss,
                               p.slot_mach,
                               p.slot_to_throttle,
                               p.choke_margin,
                               p.inlet_mach_index}) {
        bytes.add(value);
    }
    for (const auto& cylinder : p.cylinders) {
        add_cylinder(bytes, cylinder);
    }
    for (const auto& profile : p.pressures) {
        for (const auto* values : {&profile.x, &profile.mean, &profile.low, &profile.high}) {
            bytes.add(*values);
        }
    }
    for (const auto& slot : p.slots) {
        bytes.add(slot.x);
        bytes.add(slot.flow_per_length);
    }
    bytes.add(p.crank_angle);
    for (const auto& trace : p.traces) {
        bytes.add(trace.value);
    }
}

}  // namespace

std::string bits_digest(const std::vector<PointResult>& points) {
    Bytes bytes;
    for (const auto& point : points) {
        add_point(bytes, point);
    }
    return bytes.digest();
}

}  // namespace plenair
