#include "cases/study/bench_compare.hpp"

#include "cases/study/bench_stations.hpp"
#include "cases/study/case.hpp"
#include "cases/study/entry.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/quantity.hpp"
#include "solver/march/steady.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace plenair {

namespace {

BenchSettings settings_of(const BenchReading& reading) {
    BenchSettings settings;
    settings.set_up = reading.set_up;
    settings.pressure = reading.barometer;
    settings.temperature = reading.temperature;
    settings.depression = reading.depression;
    settings.gas_constant = reading.gas_constant;
    settings.throttle_angle = reading.throttle_angle;
    return settings;
}

/// The case as it stands on the bench for a reading.
Case on_bench(const Case& c, const BenchReading& reading) {
    Case alone = c;
    if (reading.bank) {
        alone.intake.banks = {c.intake.banks[*reading.bank]};
    }
    return alone;
}

/// Relative moves of the flow for both ends of each band, as root sum of squares.
double band_of(const Case& c,
               const BenchReading& reading,
               double nominal,
               const std::vector<Entry>& entries) {
    double sum = 0;
    for (const auto& entry : entries) {
        if (entry.uses_engine) {
            continue;
        }
        double largest = 0;
        for (const double end : {entry.low, entry.high}) {
            Moved v{c.model, c.intake, c.engine};
            entry.set(v, end);
            const BenchResult r = predict(v, reading);
            if (r.converged) {
                largest = std::max(largest, std::abs(r.flow / nominal - 1));
            }
        }
        sum += largest * largest;
    }
    return std::sqrt(sum);
}

/// The size that makes the prediction meet the reading, by bisection between the bounds; nothing
/// where both ends are on one side.
std::optional<double> needed_size(const Case& c, const BenchReading& reading, const Entry& entry) {
    const auto off = [&](double size) -> std::optional<double> {
        Moved v{c.model, c.intake, c.engine};
        entry.set(v, size);
        const BenchResult r = predict(v, reading);
        return r.converged ? std::optional(r.flow / reading.flow() - 1) : std::nullopt;
    };
    double a = entry.least;
    double b = entry.most;
    auto fa = off(a);
    const auto fb = off(b);
    if (!fa || !fb || *fa * *fb > 0) {
        return std::nullopt;
    }
    double fb_value = *fb;
    // Regula falsi, Illinois form (Dowell and Jarratt 1971): the flow is smooth and monotone.
    for (int i = 0; i < 30; ++i) {
        const double x = b - fb_value * (b - a) / (fb_value - *fa);
        const auto fx = off(x);
        if (!fx) {
            return std::nullopt;
        }
        if (std::abs(*fx) < 1e-4) {
            return x;
        }
        if (*fx * fb_value < 0) {
            a = b;
            fa = fb_value;
        } else {
            fa = *fa / 2;
        }
        b = x;
        fb_value = *fx;
    }
    return b;
}

/// @param c  as on the bench
void explain(const Case& c,
             const Measured& measured,
             const BenchReading& as_read,
             BenchItem& item) {
    BenchReading reading = as_read;
    reading.bank.reset();
    if (reading.set_up == BenchSetUp::runners) {
        item.remarks.emplace_back(
            "one runner alone: look at its bell mouth, its bore and what blocks it, and at the "
            "seal of the bench");
        return;
    }
    std::vector<std::pair<double, Explanation>> found;  // by how many limits each is off
    bool any_gauged = false;
    for (const auto& entry : made_sizes(c)) {
        const bool gauged =
            std::any_of(measured.gauges.begin(), measured.gauges.end(), [&](const auto& g) {
                return g.entry == entry.key && g.of_bank(as_read.bank.value_or(0));
            });
        any_gauged = any_gauged || gauged;
        if (gauged) {
            continue;  // It is known: not what is looked for.
        }
        if (const auto size = needed_size(c, reading, entry)) {
            const double limits = std::abs(*size - entry.value) / (0.5 * (entry.high - entry.low));
            found.push_back({limits, {entry.key, entry.value, *size, limits <= 1.0}});
        }
    }
    std::stable_sort(
        found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (auto& [limits, explanation] : found) {
        item.explanations.push_back(std::move(explanation));
    }
    if (item.explanations.empty()) {
        item.remarks.push_back(
            fmt::format("no single size{} explains it: look at the seal, the leakage and the "
                        "depression, and read again",
                        any_gauged ? " that was not gauged" : ""));
    }
    if (std::abs(item.difference) <= item.model_band) {
        item.remarks.push_back(fmt::format(
            "the model's own coefficients leave +/-{:.1f} % open: with the sizes as drawn a slot "
            "coefficient {:.1f} % {} would explain it too",
            100 * item.model_band,
            100 * std::abs(item.difference),
            item.difference < 0 ? "lower" : "higher"));
    }
    if (item.explanations.size() > 1) {
        item.remarks.emplace_back(
            "one reading cannot tell these apart: gauge the edge radius, "
            "then the width");
    }
}

std::string verdict_of(const BenchItem& item) {
    const double tolerance = std::hypot(item.reading_band, item.size_band);
    return std::abs(item.difference) <= tolerance
               ? std::string("as drawn")
               : fmt::format("{:.1f} % {}",
                             100 * std::abs(item.difference),
                             item.difference < 0 ? "low" : "high");
}

/// @param c  as on the bench
BenchItem item_of(const Case& c, const Measured& measured, const BenchReading& as_read) {
    BenchReading reading = as_read;
    reading.bank.reset();
    BenchItem item;
    item.name = reading.name;
    item.depression = reading.depression;
    item.density = reading.density;
    item.flow_read = reading.flow_read;
    item.leakage = reading.leakage;
    item.flow = reading.flow();
    item.reading_band = reading.uncertainty;
    const Moved as_made{c.model, c.intake, c.engine};
    const BenchResult r = predict(as_made, reading);
    item.computed = r.converged;
    item.failure = r.failure;
    if (!r.converged) {
        item.verdict = "not computed";
        return item;
    }
    item.predicted = r.flow;
    item.reference_area = r.reference_area;
    const double ideal = ideal_flow(r, reading);
    item.cd = item.flow / ideal;
    item.predicted_cd = r.flow / ideal;
    item.difference = item.flow / r.flow - 1;
    item.size_band = band_of(c, reading, r.flow, made_sizes(c));
    item.model_band = band_of(c, reading, r.flow, coefficients(c));
    if (item.cd > 1) {
        item.verdict = fmt::format("Cd {:.2f} exceeds 1", item.cd);
        item.remarks.emplace_back(more_than_ideal);
        return item;
    }
    if (reading.leaks()) {
        item.verdict = fmt::format("leakage {:.1f} %", 100 * item.leakage / item.flow_read);
        item.remarks.emplace_back(
            "above 3 % the seal is measured, not the part: seal the set-up and read again");
        return item;
    }
    item.verdict = verdict_of(item);
    if (item.verdict != "as drawn") {
        explain(c, measured, as_read, item);
    }
    if (reading.count() > 1) {
        for (auto& remark : station_remarks(reading, bench_numbers(as_made, reading, r), c.units)) {
            item.remarks.push_back(std::move(remark));
        }
    }
    return item;
}

std::string summarise(const BenchComparison& result) {
    std::size_t off = 0;
    const BenchItem* worst = nullptr;
    for (const auto& item : result.items) {
        if (item.verdict != "as drawn") {
            ++off;
            if (worst == nullptr || std::abs(item.difference) > std::abs(worst->difference)) {
                worst = &item;
            }
        }
    }
    for (const auto& item : result.gauges) {
        off += item.verdict != "as drawn" ? 1 : 0;
    }
    const std::size_t all = result.items.size() + result.gauges.size();
    if (off == 0) {
        return all == 1 ? std::string("the one reading is as drawn")
                        : fmt::format("all {} readings are as drawn", all);
    }
    std::string text =
        all == 1
            ? std::string("the one reading is not as drawn")
            : fmt::format("{} of {} readings {} not as drawn", off, all, off == 1 ? "is" : "are");
    if (worst != nullptr) {
        text += fmt::format("; {}: {}", worst->name, worst->verdict);
        if (!worst->explanations.empty()) {
            const auto& first = worst->explanations.front();
            text += fmt::format(", which {} {} instead of {} would explain",
                                first.entry,
                                geometry::format_limit(first.needed, result.units),
                                geometry::format_limit(first.drawn, result.units));
        }
    }
    return text;
}

}  // namespace

bool BenchComparison::converged() const {
    return std::all_of(items.begin(), items.end(), [](const auto& i) { return i.computed; });
}

BenchResult predict(const Moved& v, const BenchReading& reading) {
    const BenchParts parts{reading.set_up,
                           reading.set_up == BenchSetUp::runners ? reading.runner - 1 : -1};
    if (!reading.bank) {
        return solve_bench(v.intake, settings_of(reading), v.model, parts);
    }
    geometry::Intake alone = v.intake;
    alone.banks = {v.intake.banks[*reading.bank]};
    return solve_bench(alone, settings_of(reading), v.model, parts);
}

double ideal_flow(const BenchResult& predicted, const BenchReading& reading) {
    return predicted.reference_area * ideal_flux(reading);
}

BenchComparison compare_with_bench(const Case& c,
                                   const Measured& measured,
                                   const std::vector<ToleratedDimension>& limits) {
    if (measured.bench.empty() && measured.gauges.empty()) {
        throw InputError({fmt::format(
            "{}: no bench or gauge reading; add [[bench]] or [[gauge]]; engine readings are for "
            "plenair fit",
            measured.path)});
    }
    BenchComparison result;
    result.title = c.title;
    result.case_digest = c.digest;
    result.units = c.units;
    result.measured_title = measured.title;
    result.made_up = measured.made_up;
    result.defaults = measured.defaults;
    result.warnings = measured.warnings;
    for (const auto& reading : measured.bench) {
        result.items.push_back(item_of(on_bench(c, reading), measured, reading));
    }
    result.gauges = gauge_items(c, measured, limits);
    result.summary = summarise(result);
    return result;
}

}  // namespace plenair
