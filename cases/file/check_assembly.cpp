#include "cases/file/build.hpp"
#include "geometry/clearance.hpp"

#include <fmt/format.h>

namespace plenair::file {
namespace {

/// Where the entry of a finding stands: itself, else its section.
Place place_of_entry(const Scope& scope, const std::string& key) {
    if (const Value* given = scope.good(key)) {
        return given->place;
    }
    for (const auto& [name, list] : scope.children) {
        for (const auto& inner : list) {
            if (const Value* given = inner.good(key)) {
                return given->place;
            }
        }
    }
    return scope.place_of_section(key.substr(0, key.find('.')));
}

void report(const Scope& scope, const geometry::Finding& finding, Messages& messages) {
    const auto text = fmt::format("{}: {}", shown_key(scope, finding.key), finding.message);
    const auto place = place_of_entry(scope, finding.key);
    if (finding.severity == geometry::Severity::error) {
        messages.error(place, text);
    } else {
        messages.warning(place, text);
    }
}

}  // namespace

void check_assembly(const Scope& root, const Case& c, Messages& messages) {
    if (c.has_engine) {
        for (const auto& finding : geometry::check_engine(c.engine, messages.units())) {
            report(root, finding, messages);
        }
    }
    const auto& banks = root.list("bank");
    const auto of_bank = [&](const geometry::Finding& finding) -> const Scope& {
        return banks.empty() ? root : banks.at(finding.bank);
    };
    if (c.has_engine) {
        for (const auto& finding : geometry::check_fit(c.intake, c.engine, messages.units())) {
            report(of_bank(finding), finding, messages);
        }
    }
    for (const auto& finding : geometry::check_intake(c.intake, messages.units())) {
        report(of_bank(finding), finding, messages);
    }
}

}  // namespace plenair::file
