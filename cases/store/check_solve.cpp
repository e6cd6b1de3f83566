#include "cases/store/check_solve.hpp"

#include "cases/study/error.hpp"
#include "cases/study/quantities.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>
#include <vector>

namespace plenair {

namespace {

using Values = std::vector<double>;

/// One point under inspection; the first thing that does not fit ends it.
class Inspection final {
public:
    Inspection(const PointResult& point, const std::string& path) : point_(point), path_(path) {}

    void run() const {
        finite(point_, point_quantities());
        if (!(point_.bias_band >= 0 && point_.bias_band <= most_bias)) {
            fail("its band of bias is no share of the air");
        }
        for (const auto& part : point_.band_parts) {
            finite(part, band_part_quantities());
        }
        const auto cylinders = numbers();
        check_banks(cylinders);
        check_profiles();
    }

    /// Of a point of the case; what lies between the steps of a curve may be kept without.
    void check_conditions() const {
        above_zero(point_.speed, "speed");
        above_zero(point_.source_pressure, "source pressure");
        above_zero(point_.source_temperature, "source temperature");
    }

    /// Numbers of its cylinders, each once.
    [[nodiscard]] std::set<int> numbers() const {
        std::set<int> seen;
        for (const auto& c : point_.cylinders) {
            if (c.cylinder < 1 || !seen.insert(c.cylinder).second) {
                fail(fmt::format("cylinder {} stands twice or is none", c.cylinder));
            }
            if (c.bank < 0 || (c.bank > 0 && c.bank >= static_cast<int>(point_.banks.size()))) {
                fail(fmt::format("cylinder {} belongs to no bank", c.cylinder));
            }
            finite(c, cylinder_quantities());
            if (std::abs(c.bias) > most_bias) {
                fail(fmt::format("the bias of cylinder {} is no share of the air", c.cylinder));
            }
        }
        if (point_.converged && seen.empty()) {
            fail("has converged, but has no cylinder");
        }
        return seen;
    }

    [[noreturn]] void fail(const std::string& what) const {
        throw ReadError(
            fmt::format("{}: does not fit together: point '{}': {}; solve the case again",
                        path_,
                        point_.name,
                        what));
    }

private:
    static constexpr double most_bias = 1e3;  // far beyond an engine that breathes backwards

    void above_zero(double value, const char* what) const {
        if (!(value > 0)) fail(fmt::format("its {} is not above zero", what));
    }

    template <class Result>
    void finite(const Result& result, const std::vector<Quantity<Result>>& quantities) const {
        for (const auto& quantity : quantities) {
            if (!std::isfinite(result.*quantity.member)) {
                fail(fmt::format("{} is no finite number", quantity.name));
            }
        }
    }

    void columns(std::string_view what,
                 std::size_t length,
                 const std::vector<const Values*>& others) const {
        for (const auto* other : others) {
            if (other->size() != length) {
                fail(fmt::format(
                    "{} has columns of {} and {} numbers", what, length, other->size()));
            }
            if (!std::all_of(
                    other->begin(), other->end(), [](double v) { return std::isfinite(v); })) {
                fail(fmt::format("{} holds what is no finite number", what));
            }
        }
    }

    void check_banks(const std::set<int>& cylinders) const {
        std::set<int> seen;
        for (const auto& bank : point_.banks) {
            finite(bank, bank_quantities());
            for (const int number : bank.cylinders) {
                if (!cylinders.contains(number) || !seen.insert(number).second) {
                    fail(fmt::format(
                        "cylinder {} of bank '{}' stands twice or is none", number, bank.name));
                }
            }
            for (const auto* ends : {&bank.first, &bank.last}) {
                for (const int number : *ends) {
                    if (std::find(bank.cylinders.begin(), bank.cylinders.end(), number) ==
                        bank.cylinders.end()) {
                        fail(fmt::format(
                            "cylinder {} at an end of bank '{}' is none of it", number, bank.name));
                    }
                }
            }
        }
    }

    void check_profiles() const {
        for (const auto& p : point_.pressures) {
            columns("pressure along " + p.part, p.x.size(), {&p.x, &p.mean, &p.low, &p.high});
        }
        for (const auto& slot : point_.slots) {
            columns("flow along the slot", slot.x.size(), {&slot.x, &slot.flow_per_length});
        }
        columns("crank angle", point_.crank_angle.size(), {&point_.crank_angle});
        for (const auto& trace : point_.traces) {
            columns(trace.quantity, point_.crank_angle.size(), {&trace.value});
        }
    }

    const PointResult& point_;
    const std::string& path_;
};

}  // namespace

void expect_fitting(const SolveResult& result, const std::string& path) {
    if (result.points.empty()) {
        throw ReadError(fmt::format("{}: holds no point; solve the case again", path));
    }
    const PointResult* first = nullptr;  // that has cylinders
    const auto inspect = [&](const PointResult& point) {
        const Inspection inspection(point, path);
        inspection.run();
        if (point.cylinders.empty()) {
            return;
        }
        first = first == nullptr ? &point : first;
        if (inspection.numbers() != Inspection(*first, path).numbers()) {
            inspection.fail(fmt::format("has other cylinders than point '{}'", first->name));
        }
    };
    constexpr std::size_t most_points = 1000;  // of a case file
    if (result.points.size() > most_points) {
        throw ReadError(
            fmt::format("{}: holds {} points, at most {} are read; solve the case again",
                        path,
                        result.points.size(),
                        most_points));
    }
    std::set<std::string_view> names;
    for (const auto& point : result.points) {
        if (!names.insert(point.name).second) {
            Inspection(point, path).fail("another has the same name");
        }
        inspect(point);
        Inspection(point, path).check_conditions();
    }
    for (const auto& curve : result.curves) {
        if (curve.worst) {
            inspect(*curve.worst);
        }
    }
}

}  // namespace plenair
