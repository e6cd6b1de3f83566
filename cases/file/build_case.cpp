#include "cases/file/build.hpp"

#include <algorithm>
#include <cmath>
#include <exception>
#include <new>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// From all entries of a file to the case.
namespace plenair::file {
namespace {

void check_format(const Scope& root, Messages& messages) {
    if (const auto* format = root.good("format"); format && format->number() != 1) {
        refuse(messages, *format, "this version reads format 1; write format = 1");
    }
}

void check_something(const Scope& root, Messages& messages) {
    for (const auto* part :
         {"engine", "bank", "throttle", "pre_chamber", "slot", "plenum", "runner"}) {
        if (root.has(part)) {
            return;
        }
    }
    messages.error({1, 1},
                   "no part is named; add at least one of [throttle], [pre_chamber], [slot], "
                   "[plenum], [runner]");
}

/// The lateral law was measured at right angles.
void check_angles(const Scope& root, const Model& model, Messages& messages) {
    const auto check = [&](const Scope& scope) {
        const Value* angle = scope.good("runner.angle");
        if (angle == nullptr || model.mouth_law == MouthLaw::tee) {
            return;
        }
        const double right = geometry::Runner().angle;
        if (std::any_of(angle->numbers.begin(), angle->numbers.end(), [right](double a) {
                return std::abs(a - right) > 1e-9;
            })) {
            refuse(messages,
                   *angle,
                   "model.mouth_law = \"lateral\" holds at right angles; write [model] "
                   "mouth_law = \"tee\"");
        }
    };
    check(root);
    for (const auto& bank : root.list("bank")) {
        check(bank);
    }
}

}  // namespace

void build_case(const Scope& root, Case& c, Messages& messages) {
    check_format(root, messages);
    check_something(root, messages);
    c.title = root.word("case.title");
    c.barometer = root.number("site.barometer");
    c.has_engine = root.has("engine");
    if (c.has_engine) {
        c.engine = build_engine(root, messages);
        c.port_scatter = root.number("engine.port_scatter");
    } else if (root.has("valve.intake")) {
        c.engine.intake = build_valve(root, "valve.intake", messages);  // of a head on the bench
    }
    c.intake = build_intake(root, c.has_engine ? c.engine.cylinder_count() : 0, messages);
    c.model = build_model(root, messages);
    check_angles(root, c.model, messages);
    c.points = build_points(root, messages);
    build_curves(root, c, messages);
    build_exhaust(root, c, messages);
    build_fuel(root, c, messages);
    c.bench = build_bench(root, c.intake, messages);
    check_points(root, c, messages);
    build_learned(root, c, messages);
    if (!messages.any_error()) {
        // Only a whole assembly can be judged: half of one would give findings that are not its
        // fault.
        check_assembly(root, c, messages);
        build_assumed(root, c, messages);
        check_injectors(root, c, messages);
        check_piston_speed(root, c, messages);
    }
    if (!messages.any_error()) {
        check_cost(root, c, messages);
    }
}

std::string build_or_say(const Scope& root, const geometry::OutputUnits& units, Case& c) {
    Messages messages("");
    messages.show_in(units);
    try {
        build_case(root, c, messages);
    } catch (const std::bad_alloc&) {
        throw;  // no fault of the entries
    } catch (const std::exception& error) {
        if (!messages.any_error()) {
            return error.what();
        }
    }
    return fmt::format("{}", fmt::join(messages.error_texts(), "; "));
}

}  // namespace plenair::file
