#include "cases/base/sha256.hpp"
#include "cases/live/answer.hpp"
#include "cases/study/quantities.hpp"

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

template <class Result>
void add_numbers(Bytes& bytes, const std::vector<Quantity<Result>>& quantities, const Result& r) {
    for (const auto& quantity : quantities) {
        // The page does not compute the case without its slot beside it.
        if (quantity.shown != Shown::with_no_slot) bytes.add(r.*quantity.member);
    }
}

void add_point(Bytes& bytes, const PointResult& p) {
    bytes.add(p.name);
    bytes.add(p.converged ? 1 : 0);
    bytes.add(p.cycles);
    add_numbers(bytes, point_quantities(), p);
    for (const auto& cylinder : p.cylinders) {
        bytes.add(cylinder.cylinder);
        bytes.add(cylinder.firing_position);
        add_numbers(bytes, cylinder_quantities(), cylinder);
    }
    for (const auto& bank : p.banks) {
        add_numbers(bytes, bank_quantities(), bank);
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
