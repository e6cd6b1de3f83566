#include "cases/file/plans.hpp"

#include "cases/file/reading.hpp"
#include "cases/file/toml.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <array>
#include <functional>

namespace plenair {

Case parse_with_plans(std::string_view text,
                      const std::string& path,
                      const std::vector<std::string>& sets) {
    auto reading = file::read_once(text, path, sets);
    struct Plan {
        const char* section;
        std::function<void()> read;
    };
    std::array plans{
        Plan{"sweep",
             [&] {
                 (void)file::sweep_of(reading, {most_variants, "sweep less"}, "double");
             }},
        Plan{"choose", [&] { (void)file::choose_of(reading); }},
        Plan{"tolerance", [&] { (void)file::tolerance_of(reading); }},
        Plan{"transient", [&] { (void)file::transient_of(reading); }},
        Plan{"response", [&] { (void)file::response_of(reading); }}};
    const auto line = [&](const Plan& plan) {
        return reading.root.place_of_section(plan.section).line;
    };
    std::stable_sort(plans.begin(), plans.end(), [&](const Plan& a, const Plan& b) {
        return line(a) < line(b);
    });
    std::vector<std::string> faults;
    for (const auto& plan : plans) {
        if (!reading.table->contains(plan.section)) {
            continue;
        }
        try {
            plan.read();
        } catch (const InputError& error) {
            faults.insert(faults.end(), error.messages().begin(), error.messages().end());
        }
    }
    if (!faults.empty()) {
        throw InputError(faults);
    }
    return std::move(reading.c);
}

}  // namespace plenair
