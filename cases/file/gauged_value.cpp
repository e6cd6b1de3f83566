#include "cases/file/gauged_value.hpp"

#include "geometry/quantity.hpp"
#include "geometry/runner_metal.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <vector>

namespace plenair::file {

namespace {

/// "\"168, 168.2 mm\""; one where all are the same.
std::string lengths(std::vector<double> values, std::string_view unit) {
    if (std::equal(values.begin() + 1, values.end(), values.begin())) {
        values.resize(1);
    }
    std::vector<std::string> texts;
    for (const double value : values) {
        texts.push_back(geometry::format_in(value, unit, 5));
    }
    return fmt::format("\"{} {}\"", fmt::join(texts, ", "), unit);
}

/// What was found of each runner of a bank.
std::vector<double> of_runners(const Case& c, const GaugeReading& gauge, std::size_t bank) {
    const std::size_t count = c.intake.banks[bank].runners.size();
    if (gauge.value.size() == 1) {
        return std::vector<double>(count, gauge.value.front());
    }
    std::size_t before = 0;
    for (std::size_t b = 0; b < bank; ++b) {
        before += gauge.of_bank(b) ? c.intake.banks[b].runners.size() : 0;
    }
    const auto first = gauge.value.begin() + static_cast<std::ptrdiff_t>(before);
    return {first, first + static_cast<std::ptrdiff_t>(count)};
}

/// Bores at the mouth as found, those at the flange off by as much.
std::optional<std::string> bores(const std::vector<geometry::Runner>& runners,
                                 const std::vector<double>& found,
                                 std::string_view unit) {
    std::vector<double> ends;
    bool narrows = false;
    for (std::size_t i = 0; i < runners.size(); ++i) {
        const auto& bore = runners[i].diameter;
        const double flange = geometry::flange_length(runners[i]);
        const auto inside = std::count_if(bore.x().begin(), bore.x().end(), [&](double x) {
            return x <= flange + 0.5 * geometry::bore_step;
        });
        if (inside > 2) {
            return std::nullopt;
        }
        const double change = bore.at(flange) - bore.at(0);
        narrows = narrows || change != 0;
        ends.push_back(found[i] + change);
    }
    return narrows ? fmt::format(
                         "{{ start = {}, end = {} }}", lengths(found, unit), lengths(ends, unit))
                   : lengths(found, unit);
}

}  // namespace

std::optional<std::string> gauged_value(const Case& c,
                                        const GaugeReading& gauge,
                                        std::size_t bank) {
    const auto& parts = c.intake.banks[bank];
    const auto unit = c.units.in_place_of("mm");
    if (!gauge.of_bank(bank)) {
        return std::nullopt;
    }
    if (gauge.entry.starts_with("throttle.")) {
        return parts.throttles.size() == 1 ? std::optional(lengths({gauge.mean()}, unit))
                                           : std::nullopt;
    }
    if (parts.runners.empty()) {
        return std::nullopt;
    }
    const auto found = of_runners(c, gauge, bank);
    return gauge.entry == "runner.diameter" ? bores(parts.runners, found, unit)
                                            : std::optional(lengths(found, unit));
}

}  // namespace plenair::file
