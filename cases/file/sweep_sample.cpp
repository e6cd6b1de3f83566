#include "cases/file/sweep_sample.hpp"

#include "cases/base/sobol_sequence.hpp"

#include <fmt/format.h>

namespace plenair::file {
namespace {

using Values = std::vector<Value>;

Values grid_values(const SweepAxes& axes, std::size_t index) {
    Values values(axes.axes.size());
    for (std::size_t a = axes.axes.size(); a-- > 0;) {
        const auto& axis = axes.axes[a];
        values[a] = axis.value(index % axis.size(), axes.context);
        index /= axis.size();
    }
    return values;
}

std::vector<Values> sobol_values(const SweepAxes& axes, std::size_t first, std::size_t count) {
    SobolSequence sequence(axes.axes.size(), axes.seed, first);
    std::vector<Values> variants(count);
    for (auto& values : variants) {
        const auto place = sequence.next();
        for (std::size_t a = 0; a < axes.axes.size(); ++a) {
            values.push_back(axes.axes[a].value_at(place[a], axes.context));
        }
    }
    return variants;
}

void check_steps(const SweepAxes& axes, Messages& messages) {
    for (const auto& axis : axes.axes) {
        if (axis.size() == 0) {
            messages.error(axis.place,
                           fmt::format("{}: a range without steps gives no list; write steps = 8, "
                                       "or method = \"sobol\"",
                                       axis.entry.shown));
        }
    }
}

void check_pairs(const SweepAxes& axes, Messages& messages) {
    for (const auto& axis : axes.axes) {
        if (axis.size() != axes.axes.front().size()) {
            messages.error(axis.place,
                           fmt::format("{}: {} values, but {} has {}; paired lists are equally "
                                       "long",
                                       axis.entry.shown,
                                       axis.size(),
                                       axes.axes.front().entry.shown,
                                       axes.axes.front().size()));
        }
    }
}

/// As a double, so that a product of long lists cannot overflow.
double wanted_count(const SweepAxes& axes, Messages& messages) {
    if (axes.method == "sobol") {
        if (!axes.count) {
            messages.error(axes.place, "sweep.count: missing; write count = 1000");
        }
        return static_cast<double>(axes.count.value_or(0));
    }
    if (axes.count) {
        messages.error(axes.place,
                       fmt::format("sweep.count: method \"{}\" takes every value; leave it out, "
                                   "or write method = \"sobol\"",
                                   axes.method));
    }
    check_steps(axes, messages);
    if (axes.method == "paired") {
        check_pairs(axes, messages);
        return static_cast<double>(axes.axes.front().size());
    }
    double product = 1;
    for (const auto& axis : axes.axes) {
        product *= static_cast<double>(axis.size());
    }
    return product;
}

}  // namespace

std::size_t variant_count(const SweepAxes& axes, const VariantLimit& limit, Messages& messages) {
    if (axes.axes.empty()) {
        messages.error(axes.place,
                       "sweep: names nothing to vary; write e.g. \"slot.width\" = { from = \"3 "
                       "mm\", to = \"10 mm\", steps = 8 }");
        return 0;
    }
    const double wanted = wanted_count(axes, messages);
    if (wanted > static_cast<double>(limit.most)) {
        messages.error(axes.place,
                       fmt::format("sweep: {:.0f} variants, the limit is {}; take fewer steps, or "
                                   "{}",
                                   wanted,
                                   limit.most,
                                   limit.otherwise));
        return 0;
    }
    return static_cast<std::size_t>(wanted);
}

std::vector<Values> sample(const SweepAxes& axes, std::size_t first, std::size_t count) {
    if (axes.method == "sobol") {
        return sobol_values(axes, first, count);
    }
    std::vector<Values> variants(count);
    for (std::size_t i = 0; i < count; ++i) {
        if (axes.method == "grid") {
            variants[i] = grid_values(axes, first + i);
        } else {
            for (const auto& axis : axes.axes) {
                variants[i].push_back(axis.value(first + i, axes.context));
            }
        }
    }
    return variants;
}

}  // namespace plenair::file
