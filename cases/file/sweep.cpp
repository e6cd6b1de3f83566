#include "cases/file/sweep.hpp"

#include "cases/base/sha256.hpp"
#include "cases/file/build.hpp"
#include "cases/file/reading.hpp"
#include "cases/file/sweep_sample.hpp"
#include "cases/file/text.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <memory>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {
namespace {

using namespace file;

/// UDUNITS text of a dimension in SI.
std::string si_units(Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return "m";
        case Dimension::area:
            return "m2";
        case Dimension::volume:
            return "m3";
        case Dimension::angle:
        case Dimension::intake_event:
        case Dimension::exhaust_event:
        case Dimension::firing_event:
            return "rad";
        case Dimension::speed:
            return "rad s-1";
        case Dimension::pressure:
            return "Pa";
        case Dimension::temperature:
            return "K";
        case Dimension::mass_flow:
            return "kg s-1";
        case Dimension::volume_flow:
        case Dimension::fuel_flow:
            return "m3 s-1";
        case Dimension::time:
            return "s";
        case Dimension::frequency:
            return "s-1";
        case Dimension::density:
            return "kg m-3";
        case Dimension::specific_energy:
            return "J kg-1";
        case Dimension::mass:
            return "kg";
        case Dimension::ratio:
        case Dimension::none:
            break;
    }
    return "1";
}

SweepInput input_of(const SweepAxis& axis, const geometry::OutputUnits& units) {
    SweepInput input;
    input.key = axis.entry.shown;
    input.numeric = axis.numeric();
    if (input.numeric) {
        const Dimension dimension = axis.entry.key->dimension;
        input.units = si_units(dimension);
        input.shown_unit = input.units == "rad" ? "deg" : geometry::usual_unit(dimension, units);
    }
    return input;
}

/// Everything that is needed to make a variant, shared by all threads and never changed.
struct VariantSource {
    Scope root;
    SweepAxes axes;
    std::size_t cylinders = 0;

    [[nodiscard]] SweepVariant variant(const std::vector<Value>& values) const;
};

SweepVariant VariantSource::variant(const std::vector<Value>& values) const {
    SweepVariant made;
    Scope scope = root;
    for (std::size_t a = 0; a < axes.axes.size(); ++a) {
        made.inputs.push_back({values[a].number(), values[a].text});
        assign(scope, axes.axes[a].entry, values[a]);
        for (const auto& other : axes.axes[a].others) {
            assign(scope, other, values[a]);
        }
    }
    made.failure = build_or_say(scope, axes.context.units, made.c);
    if (made.failure.empty() && made.c.engine.firing_order.size() != cylinders) {
        made.failure = fmt::format("engine.firing_order: {} cylinders, the case itself has {}",
                                   made.c.engine.firing_order.size(),
                                   cylinders);
    }
    return made;
}

/// Gauge pressures stay as they were read, at the barometer of the case itself.
void check_gauge(const Scope& root, const SweepAxes& axes, Messages& messages) {
    for (const auto& axis : axes.axes) {
        if (axis.entry.pattern != "site.barometer") {
            continue;
        }
        for (const Value* value : all_values(root)) {
            if (value->key->dimension == Dimension::pressure && value->text.ends_with(" g")) {
                messages.error(axis.place,
                               fmt::format("site.barometer is swept, but {} = {} refers to it; "
                                           "write that one as an absolute pressure",
                                           value->shown,
                                           value->text));
            }
        }
    }
}

/// A value of --set for an entry that takes other values would never be used.
void check_sets(const Scope& root,
                const SweepAxes& axes,
                const std::vector<std::string>& sets,
                Messages& messages) {
    for (const auto& set : sets) {
        const auto name = set.substr(0, set.find_first_of(" ="));
        std::string ignored;
        const auto entry = find_entry(root, name, ignored);
        const bool swept =
            entry && std::any_of(axes.axes.begin(), axes.axes.end(), [&](const SweepAxis& axis) {
                return axis.entry.meets(*entry);
            });
        if (swept) {
            messages.error({},
                           fmt::format("{}: {} is swept, so this value would never be used; leave "
                                       "it out, or take the entry out of the sweep",
                                       set,
                                       name));
        }
    }
}

std::string digest_of(const SweepInfo& info, const SweepAxes& axes) {
    std::string text = fmt::format("{}\n{}\n{}\n{}\n{}\n{}\n{}\n",
                                   info.case_digest,
                                   info.method,
                                   info.method == "sobol" ? axes.seed : 0,
                                   info.count,
                                   info.block_size,
                                   info.precision,
                                   info.tolerance);
    for (const auto& axis : axes.axes) {
        text += fmt::format("{}|{}\n", axis.entry.shown, axis.numeric());
        if (axis.range) {
            text += fmt::format("{} {} {}{}\n",
                                axis.range->from,
                                axis.range->to,
                                axis.range->steps,
                                axis.range->unit);
        } else {
            text += fmt::format("{}\n", fmt::join(axis.texts, "\n"));
        }
    }
    return "sha256:" + sha256(text);
}

SweepInfo info_of(const Case& c,
                  const SweepAxes& axes,
                  std::size_t count,
                  const std::string& precision) {
    SweepInfo info;
    info.precision = precision;
    info.title = c.title;
    info.case_digest = c.digest;
    info.case_text = c.text;
    info.method = axes.method;
    info.tolerance = axes.tolerance;
    for (const auto& axis : axes.axes) {
        info.inputs.push_back(input_of(axis, c.units));
    }
    for (const auto& point : c.points) {
        info.points.push_back(point.name);
    }
    info.cylinders = c.engine.firing_order;
    std::sort(info.cylinders.begin(), info.cylinders.end());
    for (const int cylinder : info.cylinders) {
        info.firing_positions.push_back(c.engine.firing_position(cylinder));
    }
    info.count = count;
    info.block_size = sweep_block_size(count);
    info.digest = digest_of(info, axes);
    return info;
}

void check_sweepable(const Case& c, const std::optional<SweepAxes>& axes, Messages& messages) {
    if (!c.has_engine) {
        messages.error({1, 1}, "no [engine]: sweep needs one");
    } else if (c.points.empty()) {
        messages.error({1, 1}, "no [[point]] and no [[curve]]: sweep needs at least one");
    }
    if (!axes) {
        messages.error({1, 1},
                       "no [sweep]: name what to vary, e.g. \"slot.width\" = { from = \"3 mm\", to "
                       "= \"10 mm\", steps = 8 }");
    }
}

}  // namespace

SweepPlan file::sweep_of(const CaseReading& reading,
                         const VariantLimit& limit,
                         const std::string& precision) {
    Messages messages = reading.messages();
    const Case& base = reading.c;
    check_sweepable(base, reading.axes, messages);
    std::size_t count = 0;
    if (!messages.any_error()) {
        check_gauge(reading.root, *reading.axes, messages);
        check_sets(reading.root, *reading.axes, reading.sets, messages);
        count = variant_count(*reading.axes, limit, messages);
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    auto source = std::make_shared<VariantSource>();
    source->root = reading.root;
    source->cylinders = base.engine.firing_order.size();
    source->axes = *reading.axes;
    SweepPlan plan;
    plan.warnings = base.warnings;
    plan.info = info_of(base, source->axes, count, precision);
    plan.variants = [source](std::size_t first, std::size_t wanted) {
        std::vector<SweepVariant> variants;
        variants.reserve(wanted);
        for (const auto& values : sample(source->axes, first, wanted)) {
            variants.push_back(source->variant(values));
        }
        return variants;
    };
    return plan;
}

SweepPlan parse_sweep(std::string_view text,
                      std::string path,
                      const std::vector<std::string>& sets,
                      const VariantLimit& limit,
                      const std::string& precision) {
    return file::sweep_of(file::read_once(text, std::move(path), sets), limit, precision);
}

SweepPlan read_sweep(const std::string& path,
                     const std::vector<std::string>& sets,
                     const VariantLimit& limit,
                     const std::string& precision) {
    return parse_sweep(read_text(path), shown_path(path), sets, limit, precision);
}

}  // namespace plenair
